import { entityTag } from '../../src/core/exchange/answered/entity-tag.ts'
import type { FhirAnswer, FhirRequest, UnsentAnswer } from '../../src/core/exchange/fhir-exchange.ts'
import type { ClinicServers } from '../../src/flow/ports/ports.ts'
import { heardAnswer } from '../../src/shell/fhir-server/heard-answer.ts'
import type { ClinicBehaviour } from './hostile-clinic/clinic-behaviour.ts'
import { HostileClinic, type SeenRequest } from './hostile-clinic/hostile-clinic.ts'

/** Where a played clinic's server is; nobody listens there. */
export const PLAYED_BASE = 'http://played.example/fhir'

/** Of the subjects that are enrolled in these tests, the clinic's own identifiers. */
export const MRN = 'https://clinic.example/mrn'

export interface PlayedOptions {
  /** Values of patients' identifiers; those of a few subjects when absent. */
  readonly patients?: readonly string[]
  readonly behaviour?: Partial<ClinicBehaviour>
  /** Waits before a request is taken up, so that others can begin meanwhile. Ms; 0 when absent. */
  readonly pauseMs?: number
}

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

/** The door to a clinic's server that is played in memory: its answers go through the reading of real ones. */
export interface PlayedClinic extends ClinicServers {
  readonly server: HostileClinic
  /** Transactions that were posted, but for the probe. */
  readonly posted: readonly Posted[]
  /** The next requests do not leave. */
  unsentNext(...answers: readonly Omit<UnsentAnswer, 'kind'>[]): void
  /** Destinations that rest from now on. */
  rest(...names: readonly string[]): void
  /** What happens between a request and its being done, once for the next one that `when` means. */
  meanwhile(when: (seen: FhirRequest) => boolean, happens: () => void | Promise<void>): void
}

export function playedClinic({
  patients = SUBJECTS,
  behaviour = {},
  pauseMs = 0,
}: PlayedOptions = {}): PlayedClinic {
  const server = new HostileClinic({
    patients: patients.map((value) => ({ system: MRN, value })),
    behaviour,
  })
  const posted: Posted[] = []
  const unsent: Omit<UnsentAnswer, 'kind'>[] = []
  const events: { when: (request: FhirRequest) => boolean; happens: () => void | Promise<void> }[] = []
  let resting: readonly string[] = []
  let moment = 0

  async function ask(request: FhirRequest): Promise<FhirAnswer> {
    const stays = unsent.shift()
    if (stays !== undefined) return { kind: 'unsent', ...stays }
    const event = events.find(({ when }) => when(request))
    if (event !== undefined) {
      events.splice(events.indexOf(event), 1)
      await event.happens()
    }
    const url = new URL(request.path === '' ? PLAYED_BASE : `${PLAYED_BASE}/${request.path}`)
    const { how, reply } = await server.handle(
      {
        method: request.method,
        path: decodeURIComponent(url.pathname.slice('/fhir/'.length)),
        query: url.searchParams,
        headers: headersOf(request),
        body: request.body ?? '',
      },
      PLAYED_BASE,
    )
    if (how !== 'send' || reply === undefined) return { kind: 'unheard', problem: 'CLINIC_UNREACHABLE' }
    const answer = {
      kind: 'heard',
      status: reply.status,
      headers: reply.headers,
      body: { end: 'whole', text: reply.body },
    } as const
    return heardAnswer(answer, PLAYED_BASE, Date.parse('2026-03-02T00:00:00Z'), 86_400_000)
  }

  return {
    server,
    posted,
    unsentNext: (...answers) => {
      unsent.push(...answers)
    },
    rest: (...names) => {
      resting = names
    },
    meanwhile: (when, happens) => {
      events.push({ when, happens })
    },
    async ask(_destination, request) {
      if (!isTransaction(request)) return ask(request)
      const one: Posted = { text: request.body, patient: patientIn(request.body), began: moment++ }
      posted.push(one)
      if (pauseMs > 0) await new Promise((resolve) => setTimeout(resolve, pauseMs))
      const answer = await ask(request)
      one.answered = moment++
      return answer
    },
    resting: () => resting,
  }
}

const SUBJECTS = ['HW-1', 'HW-2', 'HW-3', 'HW-4'].map((subject) => `P-${subject}`)

/** Paths of the requests that a clinic's server was sent, with their methods: `POST Observation`. */
export function asked(requests: readonly SeenRequest[]): readonly string[] {
  return requests.map(({ method, path }) => `${method} ${path}`.trim())
}

function isTransaction(request: FhirRequest): request is FhirRequest & { readonly body: string } {
  return request.path === '' && request.body !== undefined && !/"method":"GET"/.test(request.body)
}

function headersOf({ body, bodyType, ifNoneExist, ifMatch, prefer }: FhirRequest): Headers {
  const headers = new Headers({ accept: 'application/fhir+json' })
  if (body !== undefined) headers.set('content-type', bodyType ?? 'application/fhir+json')
  if (ifNoneExist !== undefined) headers.set('if-none-exist', ifNoneExist)
  if (ifMatch !== undefined) headers.set('if-match', entityTag(ifMatch))
  if (prefer !== undefined) headers.set('prefer', `return=${prefer}`)
  return headers
}

function patientIn(bundle: string): string {
  const [, value = ''] = /"Patient\?identifier=[^"|]*\|([^"]*)"/.exec(bundle) ?? []
  return value
}
