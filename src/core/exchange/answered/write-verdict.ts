import type { FhirAnswer, HeardAnswer, ResourcePlace } from '../fhir-exchange.ts'
import { SENT_TYPES } from '../route/abilities.ts'
import type { AnswerBody } from './answer-body.ts'
import { heardFailure, silenceVerdict } from './heard-failure.ts'
import { ownPlaceOf } from './location.ts'
import type { WriteOutcome, WriteVerdict, Wrote } from './verdict.ts'

export type { WriteOutcome, WriteVerdict } from './verdict.ts'

/**
 * The answer to one written resource.
 *
 * | answer | conditional-create | create | put | update |
 * | --- | --- | --- | --- | --- |
 * | 201 | created | created | created | created |
 * | 200 | already there | created | updated | updated |
 * | 204 | unknown | unknown | updated | updated |
 * | 409 | conflict | conflict | not now | stale |
 * | 412 | look | refused | stale | stale |
 *
 * A success must be said in FHIR, by a Location or by nothing at all: a page with a 2xx status is no promise, and neither
 * is a bare 200 to a plain create, which R4 answers with 201. All else as `failureVerdict` has it.
 */
export function writeVerdict(answer: FhirAnswer, wrote: Exclude<Wrote, 'transaction'>): WriteVerdict {
  if (answer.kind !== 'heard') return silenceVerdict(answer)
  const what = successOf(answer, wrote)
  if (what === undefined) return heardFailure(answer, wrote)
  const place = placeIn(answer)
  return { kind: 'done', outcomes: [place === undefined ? { what } : { what, place }] }
}

function successOf(
  { status, body, location }: HeardAnswer,
  wrote: Exclude<Wrote, 'transaction'>,
): WriteOutcome['what'] | undefined {
  if (!saysSuccess(body)) return undefined
  const replaces = wrote === 'put' || wrote === 'update'
  switch (status) {
    case 201:
      return 'created'
    case 200:
      if (replaces) return 'updated'
      if (wrote === 'conditional-create') return 'already-there'
      return body.kind === 'empty' && location === undefined ? undefined : 'created'
    case 204:
      return replaces ? 'updated' : undefined
    default:
      return undefined
  }
}

function saysSuccess(body: AnswerBody): boolean {
  switch (body.kind) {
    case 'empty':
      return true
    case 'outcome':
      return !body.outcome.failed
    case 'resource':
      return WRITTEN_TYPES.has(body.resource.resourceType)
    default:
      return false
  }
}

const WRITTEN_TYPES: ReadonlySet<string> = new Set([...SENT_TYPES, 'Patient'])

/** Where it is by the Location, else by the resource that came back; the version is in either, or in the ETag. */
function placeIn({ location, version, body }: HeardAnswer): ResourcePlace | undefined {
  const place = location ?? (body.kind === 'resource' ? ownPlaceOf(body.resource) : undefined)
  return place === undefined || version === undefined ? place : { version, ...place }
}
