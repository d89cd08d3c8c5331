import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { instantOf } from '../../core/basics/instant.ts'
import { inputError } from '../../core/basics/issue.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import type { Ports } from '../../flow/ports/ports.ts'
import { generateKey } from './generate-key.ts'
import { writeKeyFile } from './key-file.ts'
import {
  type KeyTimes,
  type ScheduledKey,
  type SigningAlgorithm,
  schedule,
  signsFrom,
  stateAt,
} from './key-schedule.ts'
import { readKeyFolder } from './read-key-folder.ts'

/** Where keys lie, and where it is recorded that one was made. */
export interface KeyMaking extends Pick<Ports, 'clock'> {
  readonly folder: string
  readonly store: Pick<Ports['store'], 'recordAudit'>
}

/**
 * Makes the first key of an algorithm. Refused when there is one: a second one is a rotation.
 *
 * @throws SettingsRefused when the folder cannot be used; StoreFailed when the audit row could not be written, and then
 *   there is no key either.
 */
export async function makeFirstKey(
  algorithm: SigningAlgorithm,
  actor: string,
  at: KeyMaking,
): Promise<Result<KeyTimes>> {
  const live = await liveKeys(algorithm, at)
  return live.length > 0 ? refused([THERE_IS_ONE]) : ok(await addKey(algorithm, actor, at))
}

/**
 * Puts a new key beside the one that signs. It is in our key set at once, signs when nobody can hold a set without it any
 * more, and the old one leaves the set when no assertion signed with it can be valid any more. Refused while an earlier
 * rotation still waits to sign. Throws as `makeFirstKey`.
 */
export async function rotateKey(
  algorithm: SigningAlgorithm,
  actor: string,
  at: KeyMaking,
): Promise<Result<KeyTimes>> {
  const live = await liveKeys(algorithm, at)
  const nowMs = at.clock.now()
  if (live.length === 0) return refused([THERE_IS_NONE])
  if (live.some((one) => stateAt(one, nowMs) === 'announced')) return refused([ONE_WAITS])
  return ok(await addKey(algorithm, actor, at))
}

async function liveKeys(
  algorithm: SigningAlgorithm,
  { folder, clock }: KeyMaking,
): Promise<readonly ScheduledKey<KeyTimes>[]> {
  const nowMs = clock.now()
  return schedule(await readKeyFolder(folder)).filter(
    (one) => one.key.algorithm === algorithm && stateAt(one, nowMs) !== 'dropped',
  )
}

async function addKey(
  algorithm: SigningAlgorithm,
  actor: string,
  { folder, clock, store }: KeyMaking,
): Promise<KeyTimes> {
  const held = await readKeyFolder(folder)
  const key = await generateKey(algorithm)
  const announcedMs = Math.floor(clock.now() / 1_000) * 1_000
  const times = { algorithm, kid: key.kid, announcedMs, signsFromMs: signsFrom(held, announcedMs) }
  const file = await writeKeyFile(folder, times, key)
  try {
    await store.recordAudit({
      at: instantOf(announcedMs).text,
      actor,
      action: 'signing-key-made',
      about: key.kid,
      outcome: 'done',
      detail: { algorithm, signsFrom: instantOf(times.signsFromMs).text },
    })
  } catch (failed) {
    await rm(file)
    throw failed
  }
  await removeDropped(held, folder, announcedMs)
  return times
}

/**
 * Removes the files of keys that are of no use any more: nothing is verified with them, and a private key that lies about
 * can only be lost. The audit trail keeps that there was one. Done when a key is added and never by the service, which
 * needs no right to write here.
 */
async function removeDropped(held: readonly KeyTimes[], folder: string, nowMs: number): Promise<void> {
  const dropped = schedule(held).filter((one) => stateAt(one, nowMs) === 'dropped')
  for (const { key } of dropped) await rm(join(folder, `${key.algorithm}-${key.kid}.json`), { force: true })
}

const THERE_IS_ONE = inputError(
  'conflict',
  'NOT_A_CHOICE',
  'algorithm',
  'an algorithm that has no key yet',
  'Use keys rotate to put a new key in the place of the one there is.',
)
const THERE_IS_NONE = inputError(
  'not-found',
  'NOT_FOUND',
  'algorithm',
  'an algorithm that has a key',
  'Make the first one with keys make.',
)
const ONE_WAITS = inputError(
  'conflict',
  'NOT_YET',
  'algorithm',
  'no key that waits to sign',
  'Wait until the newest key signs; keys list tells when.',
)
