import type { ClinicAnswer } from '../../src/core/outbox/clinic-answer.ts'
import type { ClinicServers } from '../../src/flow/ports.ts'

/** One transaction as it was posted. */
export interface Posted {
  /** The bundle, byte for byte. */
  readonly text: string
  /** The patient's identifier value at the clinic. */
  readonly patient: string
  /** Its place in the order in which posts began and were answered, from 0. */
  readonly began: number
  answered?: number
}

export interface PlayedClinic extends ClinicServers {
  readonly posted: readonly Posted[]
  /** Answers to come, in the order of posts; when there are none left, everything is accepted. */
  answerNext(...answers: readonly ClinicAnswer[]): void
}

/** A clinic's server that keeps what is posted and answers as told, after a pause in which other posts can begin. */
export function playedClinic(): PlayedClinic {
  const posted: Posted[] = []
  const answers: ClinicAnswer[] = []
  let moment = 0
  return {
    posted,
    answerNext: (...told) => {
      answers.push(...told)
    },
    async postTransaction(_destination, text) {
      const one: Posted = { text, patient: patientIn(text), began: moment++ }
      posted.push(one)
      const answer = answers.shift() ?? ACCEPTED
      await new Promise((resolve) => setTimeout(resolve, 5))
      one.answered = moment++
      return answer
    },
  }
}

export const ACCEPTED: ClinicAnswer = { kind: 'accepted', created: 1, alreadyThere: 0 }

function patientIn(bundle: string): string {
  const [, value = ''] = /"Patient\?identifier=[^"|]*\|([^"]*)"/.exec(bundle) ?? []
  return value
}
