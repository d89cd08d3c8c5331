import { type ArrivalPlaces, type MappedArrival, placesOf } from '../../../flow/intake/mapped-intake.ts'
import { type ShownIssue, shownIssue } from './error-response.ts'

/** Where in what was sent an outcome belongs, and what was remarked on the way. */
export interface AnswerPlace extends ArrivalPlaces {
  /** 1-based line of a record of ours. */
  readonly line?: number
  readonly remarks?: readonly ShownIssue[]
}

/** Where the records an outcome belongs to stand, and what was remarked on them. */
export function placeOfArrival(arrival: MappedArrival): AnswerPlace {
  const { remarks } = arrival
  return { ...placesOf(arrival), ...(remarks.length === 0 ? {} : { remarks: remarks.map(shownIssue) }) }
}
