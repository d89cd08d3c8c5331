/** What is posted reaches a real FHIR server over HTTP, once. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { FhirDestination } from '../../src/core/registry/destination.ts'
import type { ClinicServers } from '../../src/flow/ports/ports.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { observationBundle, registeredPatient } from '../support/observation-bundle.ts'
import { exampleDestination, postToClinic } from '../support/post-to-clinic.ts'
import { recordedLog } from '../support/recorded-log.ts'

let clinic: ClinicServer
let servers: ClinicServers
let destination: FhirDestination
const log = recordedLog()

beforeAll(async () => {
  clinic = await startClinicServer({ patients: ['P-1', 'twice', 'twice'].map(registeredPatient) })
  servers = createClinicServers({ clock: { now: Date.now }, log, newRequestId: () => 'request-1' })
  destination = exampleDestination({ baseUrl: clinic.baseUrl })
})
afterAll(() => clinic.close())

const post = (bundle: { readonly entry?: readonly unknown[] | undefined }) =>
  postToClinic(servers, destination, bundle)

describe('a transaction posted to the clinic', () => {
  it('is made once, however often it is posted', async () => {
    const bundle = observationBundle('P-1', ['r-1', 'r-2', 'r-3'])
    expect(await post(bundle)).toEqual({ kind: 'done', created: 3, alreadyThere: 0, updated: 0 })
    const counts = await clinic.counts()
    expect(await post(bundle)).toEqual({ kind: 'done', created: 0, alreadyThere: 3, updated: 0 })
    expect(await clinic.counts()).toEqual(counts)
  })

  it('tells apart what was there from what was not', async () => {
    await post(observationBundle('P-1', ['r-4']))
    expect(await post(observationBundle('P-1', ['r-4', 'r-5']))).toEqual({
      kind: 'done',
      created: 1,
      alreadyThere: 1,
      updated: 0,
    })
  })

  it.each(['nobody', 'twice'])('is refused when the patient’s identifier matches %s', async (patient) => {
    const counts = await clinic.counts()
    expect(await post(observationBundle(patient, ['r-6']))).toMatchObject({ kind: 'patient' })
    expect(await clinic.counts()).toEqual(counts)
  })

  it('is refused when a resource is not R4', async () => {
    expect(await post(observationBundle('P-1', ['r-8'], { code: undefined }))).toMatchObject({
      kind: 'refused',
      problem: 'CLINIC_REFUSED',
    })
  })

  it('is logged by destination, status and request, with nothing of the bundle or the address', async () => {
    await post(observationBundle('P-1', ['r-9']))
    const line = log.lines.at(-1)
    expect(line).toMatchObject({
      event: 'clinic-answered',
      fields: { destination: 'clinic', status: 200, requestId: 'request-1' },
    })
    const text = JSON.stringify(log.lines)
    for (const secret of ['P-1', 'r-9', '85354-9', clinic.baseUrl]) expect(text).not.toContain(secret)
  })
})
