import { writeVerdict } from '../../../core/exchange/answered/write-verdict.ts'
import type { FhirRequest, ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import { isDenied } from '../../../core/exchange/route/ladder.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { endingOf, type Failure } from '../errand/ending-of.ts'
import { lookUpResources } from '../looks/look-up-resources.ts'
import { matchedAnother } from '../outcomes/matched-another.ts'

/** How a rung makes one resource. */
export interface WayOfCreating {
  readonly request: (placed: SentResource) => FhirRequest
  readonly wrote: 'conditional-create' | 'create' | 'put'
}

export type Created =
  | { readonly kind: 'created' | 'updated'; readonly place: ResourcePlace | undefined }
  /** The server holds one under our identifier, and left it as it is. */
  | { readonly kind: 'there'; readonly place: ResourcePlace | undefined }
  /** It takes none of this type, and does without. */
  | { readonly kind: 'declined' }
  | Ending

/**
 * Makes a resource in the way of a rung, unless it is there.
 *
 * @param sent with its references placed.
 */
export async function createResource(
  sent: SentResource,
  way: WayOfCreating,
  errand: Errand,
  by: Means,
): Promise<Created> {
  const verdict = writeVerdict(await by.write(way.request(sent)), way.wrote)
  switch (verdict.kind) {
    case 'done': {
      const [outcome] = verdict.outcomes
      const what = outcome?.what ?? 'created'
      if (what === 'already-there' && (await matchedAnother(sent, outcome?.place, errand, by)))
        return { kind: 'not-offered', problem: 'CLINIC_IGNORES_CONDITIONS' }
      await by.declined(sent.type)
      return { kind: what === 'already-there' ? 'there' : what, place: outcome?.place }
    }
    case 'look':
      return lookAgain(sent, endingOf(verdict), errand, by)
    case 'not-offered': {
      const isOfTheWay = way.wrote === 'put' || verdict.ofCondition === true
      return notOffered(sent, endingOf(verdict), isOfTheWay, errand, by)
    }
    case 'conflict':
    case 'refused':
      return unlessThere(sent, verdict, way, errand, by)
    case 'patient':
      by.patients.forget(errand.destination.name, errand.rendered.patient)
      return endingOf(verdict)
    default:
      return endingOf(verdict)
  }
}

/**
 * Servers were seen that fail a create whose condition matches, on an index of their own: it is looked for, unless it
 * was before. What is found is there; else the answer stands.
 */
async function unlessThere(
  sent: SentResource,
  verdict: Failure & { readonly kind: 'conflict' | 'refused' },
  { wrote }: WayOfCreating,
  errand: Errand,
  by: Means,
): Promise<Created> {
  const isOther =
    verdict.kind === 'refused' && (wrote !== 'conditional-create' || verdict.problem !== 'CLINIC_REFUSED')
  const looked = isOther ? undefined : await lookUpResources([sent], errand, by)
  const match = looked?.kind === 'found' ? looked.matches.get(sent.uuid) : undefined
  if (match !== undefined) return { kind: 'there', place: match.place }
  return looked?.kind === 'refused' ? looked : endingOf(verdict)
}

/** A conditional create was answered 412: several, one that the server does not match itself, or not offered. */
async function lookAgain(sent: SentResource, ending: Ending, errand: Errand, by: Means): Promise<Created> {
  const looked = await lookUpResources([sent], errand, by)
  if (looked.kind !== 'found' && looked.kind !== 'cannot-look') return looked
  const match = looked.kind === 'found' ? looked.matches.get(sent.uuid) : undefined
  return match === undefined
    ? notOffered(sent, ending, true, errand, by)
    : { kind: 'there', place: match.place }
}

/**
 * Observations are what is delivered: a way that is not offered for them is no way. A Device or Provenance is left out,
 * and what refers to it names it by its identifier; but only where the statement denies its type, or the server said so
 * again to an entry that had waited: one answer may come from something that stands before it.
 *
 * @param isOfTheWay what is not taken is the condition, or the id of ours, and not the type: the next way has none.
 */
async function notOffered(
  { type }: SentResource,
  ending: Ending,
  isOfTheWay: boolean,
  { entry, route, choice }: Errand,
  by: Means,
): Promise<Created> {
  const denied = isDenied(route, choice.rung, type)
  if (type === 'Observation' || (isOfTheWay && !denied)) return ending
  const before = route.declined?.[type]
  const isAgain = before !== undefined && entry.lastProblem === 'CLINIC_NOT_OFFERED'
  if (!denied && before !== 'again' && !isAgain) {
    await by.declined(type, 'once')
    return { kind: 'not-now', problem: 'CLINIC_NOT_OFFERED', ...saidIn(ending) }
  }
  if (isAgain) await by.declined(type, 'again')
  return { kind: 'declined' }
}

function saidIn({ said }: Ending): Pick<Ending, 'said'> {
  return said === undefined ? {} : { said }
}
