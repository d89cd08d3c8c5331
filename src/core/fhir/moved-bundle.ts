import type { Bundle, Observation } from 'fhir/r4.js'
import { isMean, isObservation, isProvenance } from './kinds-of-resources.ts'
import { asUpdate } from './transaction-entry.ts'

/**
 * A bundle of ours that brings what a server holds over to another patient: what names the patient, Observations and the
 * Provenances of these, is updated and no longer created only where it is not there. A monitor names nobody.
 *
 * @param bundle written with the patient it is brought over to.
 * @param isMoved of which Observations; the others are asked for as they were.
 */
export function movedBundle(
  bundle: Bundle,
  isMoved: (observation: Observation) => boolean = () => true,
): Bundle {
  const { entry = [] } = bundle
  const moved = new Set(
    entry.flatMap(({ fullUrl, resource }) => (isObservation(resource) && isMoved(resource) ? [fullUrl] : [])),
  )
  return {
    ...bundle,
    entry: entry.map((one) => {
      const { fullUrl, resource } = one
      const isOf = isProvenance(resource) && resource.target.some(({ reference }) => moved.has(reference))
      return isOf || moved.has(fullUrl) ? asUpdate(one) : one
    }),
  }
}

/** The same of a bundle of means: the readings that travel along are brought over by themselves, each with its session. */
export function movedMeans(bundle: Bundle, canonicalBase: string): Bundle {
  return movedBundle(bundle, (observation) => isMean(observation, canonicalBase))
}
