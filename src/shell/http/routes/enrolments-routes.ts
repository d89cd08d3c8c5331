import type { IRouter } from 'express'
import { z } from 'zod'
import { ARM_CM } from '../../../core/registry/arm-circumference.ts'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import { LONGEST_SYSTEM, LONGEST_VALUE } from '../../../core/registry/enrolment-issues.ts'
import { remarkedLinks } from '../../../flow/person/linked-subjects.ts'
import { personOf } from '../../../flow/person/person.ts'
import { recordRead } from '../../../flow/prove/record-read.ts'
import { enrol } from '../../../flow/register/enrol-subject.ts'
import { answerJson, requireAccepted, valueOrRefusal } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { listed, pageOf, queryText } from '../request/page-query.ts'
import { readJsonBody } from '../request/read-json-body.ts'
import { subjectName } from '../request/request-schemas.ts'
import { refusedRequest } from '../request-refused.ts'

export const enrolmentRequest = z
  .strictObject({
    patient: z
      // What a system and an identifier may be is decided where every door enrols; here it is only described.
      .strictObject({
        system: z.string().meta({ format: 'uri', minLength: 1, maxLength: LONGEST_SYSTEM }),
        value: z.string().meta({ minLength: 1, maxLength: LONGEST_VALUE }),
      })
      .describe('The clinic’s own identifier of the patient'),
    zone: z.string().min(1).max(64).describe('IANA time zone the patient lives in'),
    destination: z.string().min(1).max(63).describe('Name of a destination of the settings'),
    armCircumferenceCm: z
      .number()
      .min(ARM_CM.least)
      .max(ARM_CM.most)
      .optional()
      .describe('Mid-upper-arm circumference'),
  })
  .describe('Links a source’s subject to the clinic’s patient')

const PATH = '/enrolments/:source/:subject'

/** The cursor of a list of enrolments: `source/subject`. */
const KEY = /^[a-z0-9][a-z0-9-]{0,62}\/(?!\s)[^\p{Cc}\p{Cs}]{1,200}(?<!\s)$/u

/**
 * `GET /enrolments`, and `PUT` and `GET /enrolments/{source}/{subject}`. An enrolment is changed, to another clinic as
 * well, and never deleted: what was sent under it is in the clinic’s record and in the audit trail, and must be told apart
 * later by the link it was sent under. Who may see or set one may see all of them, of every source; so each names the other
 * subjects that are linked to the same patient.
 */
export function addEnrolmentsRoutes(router: IRouter, door: Door): void {
  router.get('/enrolments', async (request, response) => {
    const { actor } = await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    const source = queryText(request, 'source')
    if (source !== undefined && !(await door.sources.has(source))) throw unknownSource('query.source')
    const page = pageOf(request, KEY)
    const enrolments = await door.ports.store.enrolmentPage({
      ...page,
      ...(source === undefined ? {} : { source }),
    })
    await recordRead(actor, 'enrolments', source ?? '', door.ports, { count: enrolments.length })
    answerJson(
      response,
      200,
      listed(
        enrolments,
        page,
        (one) => `${one.source}/${one.subject}`,
        (one) => one,
      ),
    )
  })
  router.all('/enrolments', methodNotAllowed('GET'))

  router.put(PATH, async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { armCircumferenceCm, ...written } = await readJsonBody(request, enrolmentRequest, door)
    const { source } = request.params
    if (!(await door.sources.has(source))) throw unknownSource('path.source')
    const subject = subjectName(request.params.subject)
    const enrolment: Enrolment = {
      source,
      subject,
      ...written,
      ...(armCircumferenceCm === undefined ? {} : { armCircumferenceCm }),
    }
    const { enrolment: saved, ...told } = valueOrRefusal(await enrol(enrolment, caller.actor, door.ports))
    answerJson(response, 200, { ...saved, ...told })
  })

  router.get(PATH, async (request, response) => {
    const { actor } = await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    const { source, subject } = request.params
    const [enrolment] = await door.ports.store.enrolments(source, [subject])
    if (enrolment === undefined) {
      throw refusedRequest(
        404,
        'NOT_FOUND',
        'path.subject',
        'an enrolled subject of this source',
        'Check both names.',
      )
    }
    const links = remarkedLinks(await personOf(enrolment, door.ports))
    await recordRead(actor, 'enrolment', source, door.ports)
    answerJson(response, 200, { ...enrolment, ...links })
  })

  router.all(PATH, methodNotAllowed('GET', 'PUT'))
}

function unknownSource(at: string): Error {
  return refusedRequest(404, 'UNKNOWN_SOURCE', at, 'the name of a registered source', 'Register it first.')
}
