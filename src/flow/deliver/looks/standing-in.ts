import type { AnsweredResource } from '../../../core/exchange/answered/answer-body.ts'
import type { SentType } from '../../../core/exchange/route/abilities.ts'
import type { SentAnswer } from '../errand/course.ts'

/** The resource that the answer to a read shows. */
export function shownIn(answer: SentAnswer): AnsweredResource | undefined {
  const isShown = answer.kind === 'heard' && answer.status === 200 && answer.body.kind === 'resource'
  return isShown ? answer.body.resource : undefined
}

/** The same where it is of that type. */
export function standingIn(answer: SentAnswer, type: SentType): AnsweredResource | undefined {
  const resource = shownIn(answer)
  return resource?.resourceType === type ? resource : undefined
}
