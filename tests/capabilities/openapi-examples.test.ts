/** Every example of the API description is sent to a running gateway, which answers as the description says. */
import { Ajv2020 } from 'ajv/dist/2020.js'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { USE_EXAMPLES } from '../../src/shell/http/openapi/examples/use-examples.ts'
import { auditEntry } from '../contracts/store-builders.ts'
import { type ApiDescription, operationsOf } from '../support/api-description.ts'
import { type Answer, ask } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { type TemporaryStore, temporaryStore } from '../support/temporary-store.ts'

/** Where the answers are kept that the description shows; `-u` makes them anew. */
const SHOWN = '../../src/shell/http/openapi/examples/answer-examples.generated.js'

/** Characters of an answer beyond which it is not shown. */
const LONGEST_SHOWN = 12_000

/** Different each time, or as long as the document itself. */
const NOT_SHOWN = new Set(['readMetrics', 'readDescription', 'readDocumentation', 'readDocumentationFile'])

/** Operations in an order that works; those named twice are asked again for their later examples. */
const ORDER: readonly string[] = [
  ...['readLiveness all', 'readReadiness all', 'readDescription all', 'readProblem all', 'readKeySet all'],
  ...['readDocumentation all', 'readDocumentationFile all'],
  ...['registerSource all', 'listSources all', 'a lost key', 'listKeys all', 'revokeKey all'],
  ...['issueSourceKey all', 'issueKey all', 'listMappings all'],
  ...['sendSessions one', 'sendSessions again', 'sendSessions refused', 'readSource all', 'listWaiting all'],
  ...['saveEnrolment all', 'listEnrolments all', 'readEnrolment all'],
  ...['listProtocols all', 'openPeriod all', 'listPeriods all', 'readPeriod all'],
  ...['sendSessions array', 'sendSessions stream', 'rehearse all', 'sendSessions diary'],
  ...['readSession all', 'correctSession all', 'listVersions all', 'withdrawSession all'],
  ...['closePeriod all', 'readAverage all', 'readBundle all', 'listAverages all', 'readIssuedAverage all'],
  ...['readIssuedBundle all', 'comparePeriod all', 'sweepAverages all'],
  ...['listDeliveries all', 'previewDelivery all', 'stuck', 'readDelivery all', 'retryDelivery one'],
  'retryDelivery waiting',
  ...['stuck', 'retryDeliveries all', 'stuck', 'confirmDelivery one'],
  'confirmDelivery settled',
  ...[
    'listDestinations all',
    'resumeDestination all',
    'readAudit all',
    'verifyAudit all',
    'withdrawPeriod all',
  ],
  ...['readCapabilities all', 'validateResource all', 'validateType all', 'validateInstance all'],
  ...[
    'listCapabilityStatements all',
    'listCodeSystems all',
    'listStructureDefinitions all',
    'listValueSets all',
  ],
  ...['readCapabilityStatement all', 'readCodeSystem all', 'readStructureDefinition all', 'readValueSet all'],
  'readMetrics all',
]

interface Sent {
  readonly refused: boolean
  readonly id: string
  readonly name: string
  readonly answer: Answer
  readonly complaints: readonly string[]
}

describe('the examples of the API description', () => {
  let door: OpenDoor
  let store: TemporaryStore
  let api: ApiDescription
  const sent: Sent[] = []
  beforeAll(async () => {
    store = await temporaryStore(['lantern-bay'], undefined, ['lantern-bay'])
    door = await openDoor({
      settings: { destinations: [{ name: 'lantern-bay', baseUrl: 'http://127.0.0.1:9/fhir' }] },
      around: () => store.store,
    })
    api = (await ask(door.url, '/openapi.json')).json as ApiDescription
    for (const step of ORDER) {
      if (step === 'stuck') await giveUpFirst(store)
      else if (step === 'a lost key') await keepLostKey(store)
      else sent.push(...(await send(step)))
    }
  })
  afterAll(async () => {
    await door.close()
    await store.remove()
  })

  async function send(step: string): Promise<Sent[]> {
    const [id = '', which = ''] = step.split(' ')
    const operation = operationsOf(api).find(({ operationId }) => operationId === id)
    if (operation === undefined) throw new Error(`there is no operation ${id}`)
    const examples = (USE_EXAMPLES[id] ?? []).filter(({ name }) => which === 'all' || name === which)
    const all: Sent[] = []
    for (const { name, refused = false } of examples) {
      const { path, headers, body } = operation.request(name)
      const answer = await ask(door.url, path, {
        method: operation.method.toUpperCase(),
        headers,
        ...(body === undefined ? {} : { body }),
      })
      all.push({ id, name, refused, answer, complaints: complaintsOf(operation, answer) })
    }
    return all
  }

  /** What the description does not allow of an answer: its status, its type, its content. */
  function complaintsOf(operation: ReturnType<typeof operationsOf>[number], answer: Answer): string[] {
    const described = operation.responses[String(answer.status)]
    if (described === undefined) return [`status ${answer.status}: ${answer.text}`]
    const type = typeOf(answer)
    const schema = described.content?.[type]?.schema
    if (schema === undefined) return [`type ${type} of status ${answer.status}`]
    const { contentSchema } = schema
    if (contentSchema === undefined) return faults(schema, answer.json ?? answer.text)
    const lines = answer.text.split('\n').filter((line) => line !== '')
    return lines.flatMap((line) => faults(contentSchema, JSON.parse(line)))
  }

  function faults(schema: object, value: unknown): string[] {
    const ajv = new Ajv2020({ strict: false, validateFormats: false, allErrors: true })
    ajv.addSchema({ $id: 'api', components: { schemas: closed(api.components.schemas) } })
    const own = JSON.parse(JSON.stringify(schema).replaceAll('"#/', '"api#/'))
    if (ajv.validate(closed(own), value)) return []
    return (ajv.errors ?? []).map(({ instancePath, message, params }) =>
      [instancePath, message, JSON.stringify(params)].join(' '),
    )
  }

  it('are of every operation, and all are sent', () => {
    const described = operationsOf(api).flatMap(({ operationId, exampleNames }) =>
      exampleNames.length === 0 ? [operationId] : exampleNames.map((name) => `${operationId} ${name}`),
    )
    const asked = sent.map(({ id, name }) => `${id} ${name}`)
    expect(new Set(asked).size).toBe(asked.length)
    for (const one of described)
      expect(asked.filter((each) => `${each} `.startsWith(`${one} `))).not.toEqual([])
    expect(sent.map(({ id }) => id)).toEqual(
      expect.arrayContaining(operationsOf(api).map(({ operationId }) => operationId)),
    )
  })

  it('do what they say: those that show a refusal are refused, and no other', () => {
    const wrong = sent.filter(({ answer, refused }) => answer.status >= 400 !== refused)
    expect(wrong.map(({ id, name, answer }) => `${id} ${name}: ${answer.status} ${answer.text}`)).toEqual([])
    const worked = new Set(sent.filter(({ refused }) => !refused).map(({ id }) => id))
    expect(operationsOf(api).filter(({ operationId }) => !worked.has(operationId))).toEqual([])
  })

  it('are answered with a status, a type and a content that the description has, and no key it does not name', () => {
    expect(
      sent
        .filter(({ complaints }) => complaints.length > 0)
        .map(({ id, name, complaints }) => ({ id, name, complaints })),
    ).toEqual([])
  })

  it('show the answer that the gateway gave', async () => {
    const shown = sent.map(({ id, name, answer }) => {
      const value = answer.json ?? answer.text
      const isShown = !NOT_SHOWN.has(id) && answer.text.length <= LONGEST_SHOWN
      return [
        `${id} ${name}`,
        { status: answer.status, type: typeOf(answer), ...(isShown ? { value: withoutKey(value) } : {}) },
      ]
    })
    const text = `export const ANSWER_EXAMPLES = ${JSON.stringify(Object.fromEntries(shown), null, 1)}\n`
    await expect(text).toMatchFileSnapshot(SHOWN)
  })
})

function typeOf(answer: Answer): string {
  return String(answer.headers['content-type']).split(';')[0] ?? ''
}

/** Keys are random: one that nobody has stands in the place of each, and what follows from it in that of the rest. */
function withoutKey(value: unknown): unknown {
  const text = JSON.stringify(value)
    .replaceAll(/hbp_[A-Za-z0-9_-]{43}/g, `hbp_${'x'.repeat(43)}`)
    .replaceAll(/"id":"(?!3fa94c0d2b1e)[0-9a-f]{12}"/g, '"id":"5e884898da28"')
    .replaceAll(/("rows":\d+,"hash":")[0-9a-f]{64}/g, `$1${'5e884898da280471'.repeat(4)}`)
  return JSON.parse(text)
}

/** The same schemas, but with no key allowed beside those they name. */
function closed<Schema>(schema: Schema): Schema {
  if (typeof schema !== 'object' || schema === null) return schema
  if (Array.isArray(schema)) return schema.map(closed) as Schema
  const all = Object.fromEntries(Object.entries(schema).map(([key, value]) => [key, closed(value)]))
  const open = all.additionalProperties !== undefined || all.properties === undefined || all.type !== 'object'
  return (open ? all : { ...all, additionalProperties: false }) as Schema
}

async function giveUpFirst({ store }: TemporaryStore): Promise<void> {
  const now = Date.UTC(2026, 2, 20, 12)
  const claimed = await store.claim(now, 60_000, 1)
  for (const entry of claimed) {
    const problem = { state: 'given-up', problem: 'CLINIC_REFUSED', uncertain: false } as const
    await store.settle(entry, problem, {
      at: '2026-03-20T12:00:00Z',
      actor: 'gateway',
      action: 'delivery-attempted',
      about: 'lantern-bay',
      outcome: 'failed',
      detail: { code: 'CLINIC_REFUSED' },
    })
  }
}

/** A key whose id is known beforehand. */
async function keepLostKey({ store }: TemporaryStore): Promise<void> {
  const key = { sha256: `3fa94c0d2b1e${'0'.repeat(52)}`, role: 'audit', label: 'laptop' } as const
  await store.saveAccessKey({ ...key, madeAt: '2026-03-20T12:00:00Z' }, auditEntry('audit', 'key-issued'))
}
