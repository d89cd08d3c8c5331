import type { Bundle, BundleEntry, Extension, Meta, Observation, Reference } from 'fhir/r4.js'
import type { AverageContext } from '../average-context.ts'
import { PROFILE } from '../codes.ts'
import { readingReference } from '../conversion-context.ts'
import { isMean, isObservation, isProvenance } from '../kinds-of-resources.ts'
import { narrativeText } from '../narrative-text.ts'
import { averageProvenance } from '../provenance.ts'
import { createByTag, updateByIdentifier } from '../transaction-entry.ts'

type WithdrawalContext = Pick<AverageContext, 'canonicalBase' | 'period' | 'revision' | 'issued'>

/**
 * What takes the means of a bundle of ours back, as a revision of its own: the same Observations, `entered-in-error`, and
 * a Provenance that names what they replace. The numbers stay, so that nobody wonders what was there. The readings that
 * travelled with them are named by their identifiers: they were measured, whatever they were averaged for. They do not
 * travel again, but for those of sessions that were changed: the bundle that brought the change may not have got through.
 * Source: FHIR R4 4.0.1 observation-status.
 *
 * @param bundle as it was issued or rendered.
 */
export function withdrawnMeans(bundle: Bundle, context: WithdrawalContext): Bundle {
  const means = (bundle.entry ?? []).flatMap(({ resource }) =>
    isMean(resource, context.canonicalBase) ? [withdrawnMean(resource, context)] : [],
  )
  const subject = means[0]?.subject
  if (subject === undefined) throw new TypeError('a bundle without a mean of ours has nothing to take back')
  const provenance = createByTag(averageProvenance(means, { ...context, subject }))
  return {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [...changedSessions(bundle, context.canonicalBase), ...means.map(updateByIdentifier), provenance],
  }
}

/** Entries of the sessions that are updated: their Observations, the Provenances of these, and the monitors. */
function changedSessions({ entry = [] }: Bundle, canonicalBase: string): readonly BundleEntry[] {
  const readings = entry.filter(
    ({ resource, request }) => request?.method === 'PUT' && !isMean(resource, canonicalBase),
  )
  const urls = new Set(
    readings.flatMap(({ fullUrl, resource }) => [
      fullUrl,
      ...(isObservation(resource) ? [resource.device?.reference] : []),
    ]),
  )
  return entry.filter(
    ({ fullUrl, resource }) =>
      urls.has(fullUrl) ||
      (isProvenance(resource) && resource.target.some(({ reference }) => urls.has(reference))),
  )
}

function withdrawnMean(mean: Observation, { canonicalBase, issued }: WithdrawalContext): Observation {
  const notes = [{ text: WITHDRAWN }, ...(mean.note ?? [])]
  const named = (reference: Reference): Reference => byIdentifier(reference, canonicalBase)
  const { meta, derivedFrom, extension = [] } = mean
  return {
    ...mean,
    ...(meta === undefined ? {} : { meta: withoutFinal(meta) }),
    text: narrativeText(notes.map(({ text }) => text)),
    extension: extension.map((one) => withReadings(one, named)),
    status: 'entered-in-error',
    issued,
    note: notes,
    ...(derivedFrom === undefined ? {} : { derivedFrom: derivedFrom.map(named) }),
  }
}

const WITHDRAWN =
  'Withdrawn: the period was opened by mistake, and this average of it stands for nothing. The readings stand as they were measured.'

/** CardX takes an average as `final` alone. Source: CardX Hypertension Management 1.0.0, average-smbp, status. */
function withoutFinal({ profile = [], ...meta }: Meta): Meta {
  const others = profile.filter((one) => one !== PROFILE.cardxAverage)
  return { ...meta, ...(others.length === 0 ? {} : { profile: others }) }
}

function withReadings(extension: Extension, named: (reference: Reference) => Reference): Extension {
  return {
    ...extension,
    ...(extension.valueReference === undefined ? {} : { valueReference: named(extension.valueReference) }),
    ...(extension.extension === undefined
      ? {}
      : { extension: extension.extension.map((part) => withReadings(part, named)) }),
  }
}

/** A mean refers to nothing of its bundle but readings. */
function byIdentifier(reference: Reference, canonicalBase: string): Reference {
  const uuid = /^urn:uuid:(.+)$/.exec(reference.reference ?? '')?.[1]
  return uuid === undefined ? reference : readingReference(uuid, { canonicalBase, readingsStay: true })
}
