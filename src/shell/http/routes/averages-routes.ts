import type { IRouter, Request, Response } from 'express'
import { roundedMmHg } from '../../../core/basics/exact-mean.ts'
import { isCalendarDayText } from '../../../core/basics/instant.ts'
import { type SweepQuestion, type SweptPerson, sweepAverages } from '../../../flow/periods/sweep-averages.ts'
import type { SweptMean } from '../../../flow/ports/ports.ts'
import { recordRead } from '../../../flow/prove/record-read.ts'
import { requireAccepted, valueOrRefusal } from '../answer/answer.ts'
import { asRefusal, problemOf } from '../answer/error-response.ts'
import { isGone, writePart } from '../answer/write-stream.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { queryText } from '../request/page-query.ts'
import { RequestRefused, refusedRequest } from '../request-refused.ts'

/** Digits after the point of a mean written here; the counts beside it are whole. */
const DECIMALS = 1

/**
 * `GET /averages`: everyone's average under one protocol, as an NDJSON stream with one person a line, in the order of
 * source and subject, and a last line with the summary: how many people, and how many of them have several enrolments,
 * whose line names the others as `linked`. An answer without a summary line is not complete.
 */
export function addAveragesRoutes(router: IRouter, door: Door): void {
  router.get('/averages', (request, response) => sweep(request, response, door))
  router.all('/averages', methodNotAllowed('GET'))
}

async function sweep(request: Request, response: Response, door: Door): Promise<void> {
  const { actor } = await door.access.allow(request, 'read', 'operate')
  requireAccepted(request, ...NDJSON_TYPES)
  const question = await questionOf(request, door)
  const swept = sweepAverages(question, door.ports)
  if (!swept.ok) throw new RequestRefused(400, swept.issues)
  await recordRead(actor, 'averages-of-all', question.source ?? '', door.ports)
  let people = 0
  let linked = 0
  try {
    for await (const batch of valueOrRefusal(swept)) {
      people += batch.length
      linked += batch.filter((one) => one.linked !== undefined).length
      await writePart(response, batch.map((one) => `${JSON.stringify(shownPerson(one))}\n`).join(''))
    }
    await writePart(response, `${JSON.stringify({ summary: { people, linked } })}\n`)
    response.end()
  } catch (error) {
    if (isGone(response)) return
    const refusal = asRefusal(error, request, door.ports.log)
    if (!response.headersSent) throw refusal
    const problem = problemOf(refusal, door.settings.canonicalBase)
    await writePart(response, `${JSON.stringify({ problem })}\n`)
    response.end()
  }
}

const NDJSON_TYPES = ['application/x-ndjson', 'application/ndjson'] as const

/** @throws RequestRefused (400) with the place of a parameter that is missing or wrong; 404 for an unknown source. */
async function questionOf(request: Request, door: Door): Promise<SweepQuestion> {
  const protocol = queryText(request, 'protocol')
  if (protocol === undefined || protocol === '') {
    throw refusedRequest(
      400,
      'MISSING_KEY',
      'query.protocol',
      'the id of a loaded protocol',
      'Name the protocol.',
    )
  }
  const firstDay = queryText(request, 'firstDay')
  if (firstDay === undefined || !isCalendarDayText(firstDay)) {
    throw refusedRequest(
      400,
      firstDay === undefined ? 'MISSING_KEY' : 'OUT_OF_RANGE',
      'query.firstDay',
      'a calendar day such as 2026-03-02',
      'Name the first local day.',
    )
  }
  const days = daysOf(queryText(request, 'days'))
  const source = queryText(request, 'source')
  if (source !== undefined && !(await door.sources.has(source))) {
    throw refusedRequest(
      404,
      'UNKNOWN_SOURCE',
      'query.source',
      'the name of a registered source',
      'Leave it out for all sources, or correct the name.',
    )
  }
  return {
    protocol,
    firstDay,
    ...(days === undefined ? {} : { days }),
    ...(source === undefined ? {} : { source }),
  }
}

function daysOf(text: string | undefined): number | undefined {
  if (text === undefined) return undefined
  const days = /^\d{1,3}$/.test(text) ? Number(text) : 0
  if (days >= 1 && days <= 366) return days
  throw refusedRequest(
    400,
    'OUT_OF_RANGE',
    'query.days',
    'a whole number of days, 1 to 366',
    'Correct the length.',
  )
}

function shownPerson(one: SweptPerson): unknown {
  if ('problem' in one) return one
  const { mean, byWindow, ...counts } = one
  return {
    ...counts,
    ...(mean === undefined ? {} : { mean: shownMean(mean) }),
    byWindow: byWindow.map(({ window, ...rest }) => ({ window, ...shownMean(rest) })),
  }
}

function shownMean({ systolic, diastolic, readings }: SweptMean) {
  return {
    systolicMmHg: roundedMmHg(systolic, DECIMALS),
    diastolicMmHg: roundedMmHg(diastolic, DECIMALS),
    readings,
  }
}
