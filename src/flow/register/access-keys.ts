import { hash, randomBytes } from 'node:crypto'
import { instantOf } from '../../core/basics/instant.ts'
import { inputError } from '../../core/basics/issue.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import { type AccessKey, keyId, type Role } from '../../core/registry/source.ts'
import type { Ports } from '../ports/ports.ts'

/** A key as people are told of it: never the key, and no more of its digest than tells it from the others. */
export interface ToldKey extends Omit<AccessKey, 'sha256'> {
  readonly id: string
}

export interface IssuedKey extends Pick<ToldKey, 'id' | 'role' | 'source' | 'label'> {
  /** In this answer and nowhere else. */
  readonly key: string
}

/**
 * Makes an API key. The key is in the answer and nowhere else: only its SHA-256 is kept, which is enough for a key of
 * 256 random bits (a slow password hash guards guessable secrets, and this one cannot be guessed).
 */
export async function issueKey(
  request: { readonly role: Role; readonly source?: string; readonly label?: string },
  actor: string,
  at: Pick<Ports, 'store' | 'clock'>,
): Promise<Result<IssuedKey>> {
  const { role, source, label } = request
  if (role !== 'submit' && source !== undefined) return refused([takesNoSource(role)])
  if (role === 'submit') {
    const known = (await at.store.sources()).some((one) => one.name === source)
    if (source === undefined || !known) return refused([UNKNOWN_SOURCE])
  }
  const key = `hbp_${randomBytes(32).toString('base64url')}`
  const sha256 = hash('sha256', key, 'hex')
  const id = keyId({ sha256 })
  const told = {
    role,
    ...(source === undefined ? {} : { source }),
    ...(label === undefined ? {} : { label }),
  }
  const madeAt = instantOf(at.clock.now()).text
  await at.store.saveAccessKey(
    { sha256, ...told, madeAt },
    {
      at: madeAt,
      actor,
      action: 'key-issued',
      about: source ?? role,
      outcome: 'done',
      detail: { key: id, role },
    },
  )
  return ok({ key, id, ...told })
}

/** All keys, revoked ones too, in the order in which they were made. */
export async function toldKeys({ store }: Pick<Ports, 'store'>): Promise<readonly ToldKey[]> {
  return (await store.accessKeys()).map(told)
}

/** Revokes a key, from this moment on. Again changes nothing. Undefined when there is none of that id. */
export async function revokeKey(
  id: string,
  actor: string,
  at: Pick<Ports, 'store' | 'clock'>,
): Promise<ToldKey | undefined> {
  const found = (await toldKeys(at)).find((one) => one.id === id)
  if (found === undefined || found.revokedAt !== undefined) return found
  const { role, source } = found
  await at.store.revokeAccessKey(id, {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'key-revoked',
    about: source ?? role,
    outcome: 'done',
    detail: { key: id, role },
  })
  return (await toldKeys(at)).find((one) => one.id === id)
}

function told({ sha256, ...rest }: AccessKey): ToldKey {
  return { id: keyId({ sha256 }), ...rest }
}

/** It would open every source, whatever the one that was named. */
function takesNoSource(role: Role) {
  return inputError(
    'value',
    'OUT_OF_RANGE',
    'source',
    `no source: a key of the role ${role} is for all of them`,
    'Leave the source out, or make a key of the role submit for it.',
  )
}

const UNKNOWN_SOURCE = inputError(
  'not-found',
  'UNKNOWN_SOURCE',
  'source',
  'the name of a registered source',
  'Register the source first, or correct its name.',
)
