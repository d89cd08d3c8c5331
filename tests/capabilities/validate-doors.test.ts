import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { OperationOutcome } from 'fhir/r4.js'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { operationOutcome } from '../../src/core/validation/operation-outcome.ts'
import { examineResource } from '../../src/flow/prove/examine-resource.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { type Answer, ask } from '../support/ask.ts'
import { emittedResources } from '../support/emitted-resources.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'
import { secondOpinion } from '../support/second-opinion.ts'

const PATIENT = { resourceType: 'Patient', id: 'p-1', active: true }
const READING = {
  resourceType: 'Observation',
  id: 'reading-1',
  status: 'final',
  category: [
    {
      coding: [{ system: 'http://terminology.hl7.org/CodeSystem/observation-category', code: 'vital-signs' }],
    },
  ],
  code: { coding: [{ system: 'http://loinc.org', code: '85354-9' }] },
  subject: { reference: 'Patient/p-1' },
  effectiveDateTime: '2026-03-02T07:10:00-07:00',
  component: [
    {
      code: { coding: [{ system: 'http://loinc.org', code: '8480-6' }] },
      valueQuantity: { value: 131, unit: 'mmHg', system: 'http://unitsofmeasure.org', code: 'mm[Hg]' },
    },
    {
      code: { coding: [{ system: 'http://loinc.org', code: '8462-4' }] },
      valueQuantity: { value: 84, unit: 'mmHg', system: 'http://unitsofmeasure.org', code: 'mm[Hg]' },
    },
  ],
}
const WRONG = { ...READING, status: 'done', component: READING.component.slice(0, 1), colour: 'red' }

/** Wants a note of every Observation; drops into a folder of profiles as an integrator would write it. */
const NOTED = {
  resourceType: 'StructureDefinition',
  url: 'https://clinic.example/fhir/StructureDefinition/noted',
  version: '1.0.0',
  name: 'Noted',
  status: 'active',
  fhirVersion: '4.0.1',
  kind: 'resource',
  abstract: false,
  type: 'Observation',
  baseDefinition: 'http://hl7.org/fhir/StructureDefinition/Observation',
  derivation: 'constraint',
  differential: {
    element: [
      {
        id: 'Observation',
        path: 'Observation',
        constraint: [
          {
            key: 'noted-1',
            severity: 'error',
            human: 'a note is at most 20 characters long',
            expression: 'note.all(text.length() <= 20)',
          },
        ],
      },
      { id: 'Observation.note', path: 'Observation.note', min: 1, mustSupport: true },
      { id: 'Observation.device', path: 'Observation.device', mustSupport: true },
    ],
  },
}

const folder = mkdtempSync(join(tmpdir(), 'validate-doors-'))
writeFileSync(join(folder, 'noted.json'), JSON.stringify(NOTED))
afterAll(() => rmSync(folder, { recursive: true }))

let door: OpenDoor
beforeAll(async () => {
  door = await openDoor({ settings: { profilesFolder: folder } })
})
afterAll(() => door.close())

const post = (path: string, body: unknown, headers: Readonly<Record<string, string>> = {}): Promise<Answer> =>
  ask(door.url, path, {
    method: 'POST',
    headers: { 'Content-Type': 'application/fhir+json', ...headers },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  })

const parameters = (resource: unknown, ...others: readonly unknown[]) => ({
  resourceType: 'Parameters',
  parameter: [...others, { name: 'resource', resource }],
})

function issuesIn(answer: Answer): OperationOutcome['issue'] {
  const outcome = answer.json as OperationOutcome
  expect(outcome.resourceType).toBe('OperationOutcome')
  return outcome.issue
}

const places = (answer: Answer, severity = 'error') =>
  issuesIn(answer)
    .filter((one) => one.severity === severity)
    .map(({ expression, details }) => expression?.[0] ?? details?.text)

async function onCommandLine(resource: unknown, ...words: string[]): Promise<OperationOutcome> {
  const file = join(folder, 'resource.ndjson')
  writeFileSync(file, JSON.stringify(resource))
  const at = recordedTerminal()
  await runCommandLine(['validate', '--json', ...words, file], at, openGateway, '0.0.0')
  return JSON.parse(at.output())
}

describe('the doors of validation', () => {
  it.each([
    ['a wrong reading', WRONG],
    ['a right reading', READING],
    ['a bundle', { resourceType: 'Bundle', type: 'collection', entry: [{ resource: WRONG }] }],
    ['what is no resource', { colour: 'red' }],
    ['what has no type', { ...READING, resourceType: 7 }],
  ])('say the same of %s', async (_what, resource) => {
    const { catalogue } = door.ports
    const { issues } = examineResource(resource, catalogue, { profiles: catalogue.profiles })
    const expected = operationOutcome(issues)

    expect((await post('/fhir/$validate', resource)).json).toEqual(expected)
    expect((await post('/fhir/$validate', parameters(resource))).json).toEqual(expected)
    const told = await onCommandLine(resource)
    expect(told.issue.map(({ extension: _, ...issue }) => issue)).toEqual(expected.issue)
  })

  it('say the same of all that this gateway sends, its averages worked out again', async () => {
    const sent = emittedResources().map(([, resource]) => resource)
    const file = join(folder, 'sent.ndjson')
    writeFileSync(file, sent.map((resource) => JSON.stringify(resource)).join('\n'))
    const at = recordedTerminal()
    await runCommandLine(['validate', '--json', file], at, openGateway, '0.0.0')
    const told: OperationOutcome[] = at
      .output()
      .split('\n')
      .map((line) => JSON.parse(line))

    for (const [index, resource] of sent.entries()) {
      const { issue } = (await post('/fhir/$validate', resource)).json as OperationOutcome
      expect(told[index]?.issue.map(({ extension: _, ...one }) => one)).toEqual(issue)
    }
    expect(at.remarks()).toMatch(/Averages worked out again: [1-9]\d* agree with their readings/)
  })

  it('name every fault of a wrong reading, with its FHIRPath', async () => {
    const found = places(await post('/fhir/Observation/$validate', WRONG))
    expect(found).toEqual(
      expect.arrayContaining(['Observation.status', 'Observation.component', 'Observation.colour']),
    )
  })
})

describe('$validate', () => {
  it('answers 200 with remarks for an invalid resource, as Parameters too', async () => {
    const answer = await post('/fhir/$validate', parameters(WRONG, { name: 'mode', valueCode: 'create' }))
    expect(answer.status).toBe(200)
    expect(places(answer)).toContain('Observation.status')
    expect(secondOpinion(answer.json)).toEqual([])
  })

  it.each(['application/fhir+xml', 'application/xml', 'text/xml'])(
    'refuses %s and says why',
    async (type) => {
      const answer = await post('/fhir/Observation/$validate', '<Observation/>', { 'Content-Type': type })
      expect(answer.status).toBe(415)
      expect(issuesIn(answer)[0]?.details?.text).toContain('XML is not read here')
    },
  )

  it.each([
    ['/fhir/$validate?_format=application/fhir%2Bjson', 'application/fhir+xml', 200],
    ['/fhir/$validate?_format=json', 'application/fhir+xml', 200],
    ['/fhir/$validate?_format=application/fhir+json', '*/*', 200],
    ['/fhir/$validate?_format=text/xml', 'application/fhir+json', 406],
    ['/fhir/$validate', 'application/fhir+xml', 406],
  ])('hears _format before Accept: %s with %s is %i', async (path, accept, status) => {
    expect((await post(path, PATIENT, { Accept: accept })).status).toBe(status)
  })

  it.each([
    ['without a word', {}, [], []],
    ['for a create', { mode: 'create' }, [], ['the mode']],
    ['for an update', { mode: 'update' }, [], ['the mode']],
  ])('takes a resource for its own instance %s', async (_what, query, errors, notJudged) => {
    const answer = await post(`/fhir/Patient/p-1/$validate?${new URLSearchParams(query)}`, PATIENT)
    expect(answer.status).toBe(200)
    expect(places(answer)).toEqual(errors)
    const told = issuesIn(answer).filter(({ details }) => details?.coding?.[0]?.code === 'NOT_SUPPORTED')
    expect(told).toHaveLength(notJudged.length)
  })

  it.each([
    ['another id', { ...PATIENT, id: 'p-2' }, '', ['Patient.id']],
    ['another id in an update', { ...PATIENT, id: 'p-2' }, '?mode=update', ['Patient.id']],
    ['no id in an update', { resourceType: 'Patient', active: true }, '?mode=update', ['Patient.id']],
    ['no id otherwise', { resourceType: 'Patient', active: true }, '', []],
    ['another id in a create, which ignores it', { ...PATIENT, id: 'p-2' }, '?mode=create', []],
  ])('compares the id with the instance: %s', async (_what, resource, query, errors) => {
    const answer = await post(`/fhir/Patient/p-1/$validate${query}`, resource)
    expect(answer.status).toBe(200)
    expect(places(answer)).toEqual(errors)
  })

  it('does not take an instance alone for its resource', async () => {
    const answer = await post('/fhir/Patient/p-1/$validate', { resourceType: 'Parameters' })
    expect(answer.status).toBe(422)
    expect(issuesIn(answer)[0]?.details?.text).toContain('Send the resource in question')
  })

  it('validates Parameters themselves when they are the resource in question', async () => {
    const answer = await post('/fhir/$validate', parameters({ resourceType: 'Parameters', parameter: 'x' }))
    expect(answer.status).toBe(200)
    expect(places(answer)).not.toEqual([])
  })

  it('judges types it never sends by their structure, and says that not all of their rules are judged', async () => {
    const answer = await post('/fhir/Claim/$validate', { resourceType: 'Claim', status: 'active' })
    expect(places(answer)).toContain('Claim.patient')
    expect(answer.text).toContain('invariants of this type were not')
  })

  it('takes a bundle larger than other requests may be', async () => {
    const entry = Array.from({ length: 1_500 }, (_, index) => ({
      fullUrl: `https://clinic.example/fhir/Observation/${index}`,
      resource: { ...READING, id: `${index}` },
    }))
    const body = JSON.stringify({ resourceType: 'Bundle', type: 'collection', entry })
    expect(body.length).toBeGreaterThan(1_048_576)
    const answer = await post('/fhir/Bundle/$validate', body)
    expect(answer.status).toBe(200)
    expect(places(answer)).toEqual([])
  })

  it('logs nothing of what it judged', async () => {
    await post('/fhir/$validate', WRONG)
    expect(JSON.stringify(door.log)).not.toContain('reading-1')
  })
})

describe('a profile of the deployment’s own', () => {
  const asked = { name: 'profile', valueUri: NOTED.url }

  it.each([
    ['in Parameters', () => post('/fhir/$validate', parameters(READING, asked))],
    [
      'as a canonical with its version',
      () => post('/fhir/$validate', parameters(READING, { ...asked, valueUri: `${NOTED.url}|1.0.0` })),
    ],
    ['in the query', () => post(`/fhir/Observation/$validate?profile=${NOTED.url}`, READING)],
    [
      'with mode profile',
      () => post('/fhir/$validate', parameters(READING, asked, { name: 'mode', valueCode: 'profile' })),
    ],
    [
      'by the resource’s own claim',
      () => post('/fhir/$validate', { ...READING, meta: { profile: [NOTED.url] } }),
    ],
  ])('is enforced when it is asked for %s', async (_how, answered) => {
    const answer = await answered()
    expect(answer.status).toBe(200)
    expect(places(answer)).toEqual(['Observation.note'])
  })

  it('is enforced on the command line, from a folder', async () => {
    const own = ['--profile', NOTED.url, '--profiles-folder', join(folder)]
    const { issue } = await onCommandLine(READING, ...own)
    expect(issue.filter((one) => one.severity === 'error').flatMap((one) => one.expression ?? [])).toEqual([
      'Observation.note',
    ])
  })

  it('is not asked of a resource that does not claim it', async () => {
    expect(places(await post('/fhir/$validate', READING))).toEqual([])
  })

  it('has its own constraints evaluated', async () => {
    const noted = (text: string) =>
      post(`/fhir/$validate?profile=${NOTED.url}`, { ...READING, note: [{ text }] })
    expect(places(await noted('seated, left arm'))).toEqual([])
    const answer = await noted('seated, left arm, after five minutes of rest')
    expect(places(answer)).toEqual(['Observation'])
    expect(answer.text).toContain('noted-1')
  })

  it('tells absent must-support elements on request only', async () => {
    const path = `/fhir/$validate?profile=${NOTED.url}`
    const told = async (query: string) =>
      places(await post(`${path}${query}`, { ...READING, note: [{ text: 'seated' }] }), 'information')
    expect(await told('&must-support=true')).toContain('Observation.device')
    expect(await told('')).not.toContain('Observation.device')
  })

  it.each([
    ['when it is not loaded', 'https://clinic.example/fhir/StructureDefinition/other'],
    ['in a version that is not loaded', `${NOTED.url}|2.0.0`],
    ['of R4 in another version', 'http://hl7.org/fhir/StructureDefinition/Observation|5.0.0'],
  ])('is an error %s', async (_what, url) => {
    const answer = await post('/fhir/$validate', parameters(READING, { ...asked, valueUri: url }))
    expect(answer.status).toBe(422)
    expect(issuesIn(answer)[0]).toMatchObject({
      severity: 'error',
      details: { coding: [{ code: 'UNKNOWN_PROFILE' }] },
    })
  })
})

describe('a profile that ships', () => {
  const OBSERVATION = 'http://hl7.org/fhir/StructureDefinition/Observation'
  const bare = { resourceType: 'Observation', status: 'final', code: { text: 'a weight' } }

  it.each([
    ['blood pressure of R4', 'http://hl7.org/fhir/StructureDefinition/bp', true],
    ['blood pressure of R4 in its version', 'http://hl7.org/fhir/StructureDefinition/bp|4.0.1', true],
    [
      'the average of US Core',
      'http://hl7.org/fhir/us/core/StructureDefinition/us-core-average-blood-pressure',
      true,
    ],
    ['a plain Observation', OBSERVATION, false],
    ['a plain Observation of R4', `${OBSERVATION}|4.0.1`, false],
  ])('is asked for by its URL: %s', async (_what, url, isBroken) => {
    const answer = await post(`/fhir/$validate?profile=${encodeURIComponent(url)}`, bare)
    expect(answer.status).toBe(200)
    expect(places(answer).length > 0).toBe(isBroken)
  })

  it('is one for another type: an error', async () => {
    const answer = await post(`/fhir/$validate?profile=${OBSERVATION}`, PATIENT)
    expect(places(answer)).toHaveLength(1)
  })

  it('is ours under the canonical base of the deployment', async () => {
    const canonicalBase = 'https://clinic.example/ours'
    const other = await openDoor({ settings: { canonicalBase } })
    const answered = await ask(other.url, `/fhir/$validate`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/fhir+json' },
      body: JSON.stringify(
        parameters(bare, {
          name: 'profile',
          valueUri: `${canonicalBase}/StructureDefinition/home-reading`,
        }),
      ),
    })
    await other.close()
    expect(answered.status).toBe(200)
    expect(places(answered)).not.toEqual([])
    expect(issuesIn(answered)[0]?.details?.coding?.[0]?.system).toBe(
      `${canonicalBase}/CodeSystem/error-codes`,
    )
  })
})
