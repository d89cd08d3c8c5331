import type { AnsweredResource } from '../../../core/exchange/answered/answer-body.ts'
import type { SentType } from '../../../core/exchange/route/abilities.ts'
import type { SentAnswer } from '../errand/course.ts'

/** The resource that the answer to a read shows, where it is of that type. */
export function standingIn(answer: SentAnswer, type: SentType): AnsweredResource | undefined {
  if (answer.kind !== 'heard' || answer.status !== 200 || answer.body.kind !== 'resource') return undefined
  const { resource } = answer.body
  return resource.resourceType === type ? resource : undefined
}
