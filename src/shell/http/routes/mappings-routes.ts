import { Readable } from 'node:stream'
import type { IRouter, Request, Response } from 'express'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import { subjectOf } from '../../../flow/check/prepare-record.ts'
import type { MappedArrival } from '../../../flow/intake/mapped-intake.ts'
import { type RehearsalContext, rehearse } from '../../../flow/intake/rehearse.ts'
import { arrivalsIn, type RecordShape } from '../../intake/arrivals-in.ts'
import { answerJson, requireAccepted } from '../answer/answer.ts'
import { shownIssue } from '../answer/error-response.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { MEDIA_TYPES, STREAMS } from '../request/mapped-media-types.ts'
import { loadedMapping } from '../request/mapping-of-request.ts'
import { originOfRequest } from '../request/origin-of-request.ts'
import { readBytes, requireMediaType } from '../request/read-body.ts'
import { subjectOfRequest } from '../request/subject-of-request.ts'
import { refusedRequest } from '../request-refused.ts'

/** `/mappings`: what other formats can be sent, and a rehearsal of what a record would become. Stores nothing. */
export function addMappingsRoutes(router: IRouter, door: Door): void {
  router.get('/mappings', async (request, response) => {
    await door.access.allow(request, 'submit', 'read', 'operate')
    requireAccepted(request, 'application/json')
    answerJson(response, 200, { items: [...door.ports.catalogue.mappings.values()].map(shownMapping) })
  })
  router.all('/mappings', methodNotAllowed('GET'))

  router.post('/mappings/:name/rehearse', (request, response) => rehearsal(request, response, door))
  router.all('/mappings/:name/rehearse', methodNotAllowed('POST'))
}

function shownMapping({ name, title, sha256, input }: Mapping) {
  return { name, title, format: input.format, mediaTypes: MEDIA_TYPES[input.format], sha256 }
}

async function rehearsal(request: Request<{ name: string }>, response: Response, door: Door): Promise<void> {
  const caller = await door.access.allow(request, 'submit', 'operate')
  requireAccepted(request, 'application/json')
  const { source } = await originOfRequest(request, caller, door.sources)
  const mapping = loadedMapping(request.params.name, 'path.name', door)
  const options = subjectOfRequest(request, mapping)
  const { input } = mapping
  const charset = input.format === 'csv' ? (input.encoding ?? 'utf-8') : 'utf-8'
  const type = requireMediaType(request, MEDIA_TYPES[input.format], charset)
  const { bodyBytes, lineBytes, recordsPerArray: most } = door.settings.limits
  const limits = { documentBytes: bodyBytes, lineBytes, lines: Number.POSITIVE_INFINITY }
  const bytes = await readBytes(request, bodyBytes)
  const arrivals: MappedArrival[] = []
  const body = { open: () => Readable.from([bytes]) }
  for await (const arrival of arrivalsIn(body, shapeOf(type), mapping, limits, options)) {
    if (arrivals.length === most) {
      throw refusedRequest(413, 'TOO_MANY', 'body', `at most ${most} sittings`, 'Rehearse with fewer.')
    }
    arrivals.push(arrival)
  }
  const context = await contextOf(arrivals, source, door)
  answerJson(response, 200, {
    mapping: shownMapping(mapping),
    rehearsals: arrivals.map((arrival) => {
      const { issues, remarks, ...rest } = rehearse(arrival, mapping, context)
      return { ...rest, issues: issues.map(shownIssue), remarks: remarks.map(shownIssue) }
    }),
  })
}

function shapeOf(type: string): RecordShape {
  if (type === 'text/csv') return 'table'
  return STREAMS.includes(type) ? 'lines' : 'document'
}

/** People go by their enrolments, as when the records are sent in earnest. */
async function contextOf(
  arrivals: readonly MappedArrival[],
  source: string,
  { ports }: Door,
): Promise<RehearsalContext> {
  const subjects = new Set(
    arrivals.map(({ incoming }) => ('sitting' in incoming ? subjectOf(incoming.sitting.record) : '')),
  )
  subjects.delete('')
  const enrolments = await ports.store.enrolments(source, [...subjects])
  const bySubject = new Map(
    enrolments.flatMap((one) => (one === undefined ? [] : [[one.subject, one] as const])),
  )
  return {
    source,
    canonicalBase: ports.catalogue.canonicalBase,
    receivedMs: ports.clock.now(),
    attention: ports.policy.attention,
    personOf: (subject) => bySubject.get(subject),
  }
}
