import type { UnsentAnswer } from '../../../core/exchange/fhir-exchange.ts'

/** The lease ended and the entry is another claim's: this attempt may write nothing more, and settles nothing. */
export class ClaimLost extends Error {
  override readonly name = 'ClaimLost'
}

/** A request could not leave, so nothing was done by it, and nothing further can be done in this attempt. */
export class NothingSent extends Error {
  override readonly name = 'NothingSent'
  readonly answer: UnsentAnswer

  constructor(answer: UnsentAnswer) {
    super(answer.problem)
    this.answer = answer
  }
}
