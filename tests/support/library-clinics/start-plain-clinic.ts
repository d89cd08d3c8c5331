import { once } from 'node:events'
import { createServer, type RequestListener } from 'node:http'
import { createRequire } from 'node:module'
import {
  type FhirConfig,
  type GenericResource,
  InvalidSearchParameterError,
  ResourceNotFoundError,
  ResourceVersionNotFoundError,
  stubs,
} from 'fhir-works-on-aws-interface'
import { generateServerlessRouter } from 'fhir-works-on-aws-routing'
import type jsonSchema from 'fhir-works-on-aws-routing/lib/router/validation/jsonSchemaValidator.js'
import { patientResource, type RegisteredPatient } from '../../../src/shell/cli/demo/registered-patient.ts'
import { type KeptResource, KeptVersions } from './kept-versions.ts'
import { foundByTokens, NotSearchable, SEARCHED_BY } from './token-search.ts'

/**
 * A CommonJS module with a default of its own, which test runners and Node import each in their way; required, it is the
 * same in both.
 */
const { default: SchemaValidator }: typeof jsonSchema = createRequire(import.meta.url)(
  'fhir-works-on-aws-routing/lib/router/validation/jsonSchemaValidator.js',
)

/** Of all clinics: it takes a second to read R4's schema. */
const validator = new SchemaValidator('4.0.1')

/** A clinic's FHIR server that takes one resource after the other, and neither transactions nor conditional creates. */
export interface PlainClinic {
  readonly baseUrl: string
  close(): Promise<void>
}

/**
 * Starts one on a free port of 127.0.0.1. A general FHIR library that is not ours does the HTTP, the routes, the
 * validation against R4's published JSON schema, and the CapabilityStatement; ours is only where it keeps things.
 *
 * @param updateCreate whether a PUT may make a resource under an id of the client's.
 */
export async function startPlainClinic(
  patients: readonly RegisteredPatient[],
  { updateCreate }: { readonly updateCreate: boolean },
): Promise<PlainClinic> {
  const kept = new KeptVersions()
  for (const patient of patients) kept.create(patientResource(patient))
  // The library wants to know its address before it is made.
  const later: { answer?: RequestListener } = {}
  const server = createServer((request, response) => later.answer?.(request, response))
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const address = server.address()
  const baseUrl = `http://127.0.0.1:${typeof address === 'object' ? address?.port : address}`
  later.answer = generateServerlessRouter(
    configuration(kept, baseUrl, updateCreate),
    Object.keys(SEARCHED_BY),
  )
  return {
    baseUrl,
    async close() {
      const closed = once(server, 'close')
      server.close()
      server.closeAllConnections()
      await closed
    },
  }
}

const OPERATIONS = ['create', 'read', 'vread', 'update', 'search-type', 'history-instance'] as const

function configuration(kept: KeptVersions, url: string, updateCreate: boolean): FhirConfig {
  return {
    configVersion: 1,
    productInfo: { orgName: 'An invented clinic' },
    auth: { strategy: {}, authorization: stubs.passThroughAuthz },
    server: { url },
    validators: [validator],
    profile: {
      fhirVersion: '4.0.1',
      systemOperations: [],
      systemSearch: stubs.search,
      systemHistory: stubs.history,
      bundle: stubs.bundle,
      genericResource: {
        operations: [...OPERATIONS],
        fhirVersions: ['4.0.1'],
        persistence: persistenceIn(kept, updateCreate),
        typeSearch: searchIn(kept, url),
        typeHistory: historyIn(kept, url),
      },
    },
  }
}

function persistenceIn(kept: KeptVersions, updateCreate: boolean): GenericResource['persistence'] {
  const newest = (type: string, id: string): KeptResource => {
    const resource = kept.newest(type, id)
    if (resource === undefined) throw new ResourceNotFoundError(type, id)
    return resource
  }
  return {
    ...stubs.persistence,
    updateCreateSupported: updateCreate,
    createResource: async ({ resource }) => ({ message: 'kept', resource: kept.create(resource) }),
    async updateResource({ resourceType, id, resource }) {
      if (!updateCreate) newest(resourceType, id)
      return { message: 'kept', resource: kept.put(resource, id) }
    },
    readResource: async ({ resourceType, id }) => ({ message: 'read', resource: newest(resourceType, id) }),
    async vReadResource({ resourceType, id, vid }) {
      const resource = kept.versions(resourceType, id).find(({ meta }) => meta.versionId === vid)
      if (resource === undefined) throw new ResourceVersionNotFoundError(resourceType, id, vid)
      return { message: 'read', resource }
    },
  }
}

function searchIn(kept: KeptVersions, url: string): GenericResource['typeSearch'] {
  return {
    ...stubs.search,
    async getCapabilities() {
      const capabilities = Object.entries(SEARCHED_BY).map(([type, parameters]) => [
        type,
        {
          searchParam: parameters.map((name) => ({ name, type: 'token' })),
          searchInclude: [],
          searchRevInclude: [],
        },
      ])
      return Object.fromEntries(capabilities)
    },
    async typeSearch({ resourceType, queryParams }) {
      try {
        return listed(foundByTokens(kept.all(resourceType), resourceType, queryParams), url)
      } catch (error) {
        if (error instanceof NotSearchable) throw new InvalidSearchParameterError(error.message)
        throw error
      }
    },
  }
}

function historyIn(kept: KeptVersions, url: string): GenericResource['typeHistory'] {
  return {
    ...stubs.history,
    instanceHistory: async ({ resourceType, id }) =>
      listed(kept.versions(resourceType, id).toReversed(), url),
  }
}

function listed(resources: readonly KeptResource[], url: string) {
  const entries = resources.map((resource) => ({
    fullUrl: `${url}/${resource.resourceType}/${resource.id}`,
    resource,
    search: { mode: 'match' as const },
  }))
  return { result: { numberOfResults: entries.length, entries, message: 'found' } }
}
