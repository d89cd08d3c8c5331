import { inputError } from '../../core/basics/issue.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import type { Protocol } from '../../core/clinical/protocol/protocol.ts'
import type { RecordingRule } from '../../core/clinical/protocol/recording-rule.ts'
import type { ThresholdSet } from '../../core/clinical/protocol/threshold-set.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { Period } from '../../core/registry/period.ts'
import type { Catalogue, Ports } from '../ports/ports.ts'
import { type Person, personOf } from './person.ts'

/** Whose period it is, who is told, and by what it is averaged. */
export interface PeriodRules {
  readonly enrolment: Enrolment
  /** That enrolment and all others of its person: what came through any of them is averaged. */
  readonly person: Person
  readonly destination: Destination
  readonly by: AveragedBy
  /** The sets that labels are taken from. */
  readonly thresholdSets: readonly ThresholdSet[]
}

/** By a protocol, or as one 24-hour recording. */
export type AveragedBy =
  | { readonly kind: 'protocol'; readonly protocol: Protocol }
  | { readonly kind: 'recording'; readonly rule: RecordingRule }

/** The rules of a period as they stand now, or what of them is missing. */
export async function rulesOf(
  period: Period,
  at: Pick<Ports, 'store' | 'catalogue'>,
): Promise<Result<PeriodRules>> {
  const [enrolment] = await at.store.enrolments(period.source, [period.subject])
  if (enrolment === undefined) {
    return missing('UNKNOWN_SUBJECT', 'subject', 'an enrolled subject', 'Enrol the subject again.')
  }
  return rulesFor(period, await personOf(enrolment, at), at)
}

/**
 * The rules of a period for a person as they are linked, or what of them is missing.
 *
 * @param person the enrolment it is a period of first.
 */
export function rulesFor(period: Period, person: Person, at: Pick<Ports, 'catalogue'>): Result<PeriodRules> {
  const [enrolment] = person
  const destination = at.catalogue.destinations.get(enrolment.destination)
  if (destination === undefined) {
    return missing(
      'UNKNOWN_DESTINATION',
      'destination',
      'a destination of the settings',
      'Add it to the settings.',
    )
  }
  const by = averagedBy(period.protocol, destination, at.catalogue)
  if (by === undefined) {
    return missing('UNKNOWN_PROTOCOL', 'protocol', 'a loaded protocol', 'Bring its file back.')
  }
  const { thresholdSets } = by.kind === 'protocol' ? by.protocol : by.rule
  const sets = thresholdSets.flatMap((id) => at.catalogue.thresholdSets.get(id) ?? [])
  return ok({ enrolment, person, destination, by, thresholdSets: sets })
}

/**
 * The document of that id with the destination's own threshold sets after its own, where they are drawn for such a
 * mean. Nothing else of a published document is a clinic's to change.
 */
export function averagedBy(
  id: string,
  destination: Pick<Destination, 'thresholdSets'>,
  catalogue: Catalogue,
): AveragedBy | undefined {
  const protocol = catalogue.protocols.get(id)
  const rule = catalogue.recordingRules.get(id)
  const own = protocol ?? rule
  if (own === undefined) return undefined
  const added = destination.thresholdSets.filter((set) => {
    const setting = catalogue.thresholdSets.get(set)?.setting
    return protocol === undefined ? setting?.startsWith('ambulatory') === true : setting === 'home'
  })
  const thresholdSets = [...new Set([...own.thresholdSets, ...added])]
  if (protocol !== undefined) return { kind: 'protocol', protocol: { ...protocol, thresholdSets } }
  return rule === undefined ? undefined : { kind: 'recording', rule: { ...rule, thresholdSets } }
}

function missing(
  code: 'UNKNOWN_SUBJECT' | 'UNKNOWN_DESTINATION' | 'UNKNOWN_PROTOCOL',
  place: string,
  expected: string,
  remedy: string,
): Result<never> {
  return refused([inputError('not-found', code, place, expected, remedy)])
}
