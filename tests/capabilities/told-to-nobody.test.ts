/**
 * What a person wrote or measured is told to nobody but who asks for it: it is sent in every place of every request that is
 * described, and looked for in refusals, the log, the figures and the audit trail.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { showsCanary } from '../fuzz/canaries.ts'
import { type ApiDescription, type DescribedOperation, operationsOf } from '../support/api-description.ts'
import { type Answer, type Asked, ask } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { CANARY, withCanaries } from '../support/with-canaries.ts'

const HEADERS = [
  'Accept',
  'Content-Type',
  'Content-Encoding',
  'Authorization',
  'Prefer',
  'If-Match',
  'User-Agent',
]

interface Attempt {
  readonly where: string
  readonly path: string
  readonly asked: Asked
}

/** Every request that an example of an operation becomes when one thing in it is a canary. */
function* attempts(operation: DescribedOperation): Generator<Attempt> {
  const { method, path, operationId, exampleNames, parameters = [] } = operation
  const names = exampleNames.filter((one) => operation.request(one).path !== '')
  for (const name of names.length === 0 ? [''] : names) {
    const sample = operation.request(name)
    const to = sample.path.replaceAll(/\{\w+\}/g, 'x')
    const asked = {
      method: method.toUpperCase(),
      headers: sample.headers,
      ...(sample.body === undefined ? {} : { body: sample.body }),
    }
    const where = (what: string) => `${operationId} ${what}`
    for (const one of parameters) {
      if (one.in === 'path') {
        const filled = path
          .replace(`{${one.name}}`, encodeURIComponent(CANARY))
          .replaceAll(/\{\w+\}/g, 'harbour-app')
        yield { where: where(one.name), path: filled + to.slice(to.split('?')[0]?.length), asked }
      } else if (one.in === 'query') {
        const [bare = '', query = ''] = to.split('?')
        const search = new URLSearchParams(query)
        search.set(one.name, CANARY)
        yield { where: where(one.name), path: `${bare}?${search}`, asked }
      }
    }
    for (const header of HEADERS) {
      yield {
        where: where(header),
        path: to,
        asked: { ...asked, headers: { ...asked.headers, [header]: CANARY } },
      }
    }
    if (sample.body !== undefined) {
      for (const body of withCanaries(sample.body))
        yield { where: where('body'), path: to, asked: { ...asked, body } }
    }
  }
}

describe('what a person wrote or measured', () => {
  let door: OpenDoor
  const told: string[] = []
  let sent = 0

  beforeAll(async () => {
    door = await openDoor({
      settings: { destinations: [{ name: 'lantern-bay', baseUrl: 'http://127.0.0.1:9/fhir' }] },
    })
    const api = (await ask(door.url, '/openapi.json')).json as ApiDescription
    for (const operation of operationsOf(api)) {
      for (const { where, path, asked } of attempts(operation)) {
        const answer = await ask(door.url, path, asked)
        sent += 1
        if (isRefusal(answer) && showsCanary(answer.text))
          told.push(`${where}: ${answer.status} ${answer.text.slice(0, 600)}`)
      }
    }
  })
  afterAll(() => door.close())

  it('comes back in no refusal', () => {
    expect(sent).toBeGreaterThan(1_000)
    expect(told).toEqual([])
  })

  it('stands in no line of the log', () => {
    expect(door.log.lines.filter((line) => showsCanary(JSON.stringify(line)))).toEqual([])
  })

  it('stands in no figure', async () => {
    expect(showsCanary((await ask(door.url, '/metrics')).text)).toBe(false)
  })

  it('stands in no row of the audit trail', async () => {
    const rows = await door.ports.store.auditPage({ limit: 100_000 })
    expect(rows.filter((row) => showsCanary(JSON.stringify(row)))).toEqual([])
  })
})

/** An outcome of `$validate` is one whatever its status. */
function isRefusal({ status, json }: Answer): boolean {
  return (
    status >= 400 ||
    (json as { readonly resourceType?: string } | undefined)?.resourceType === 'OperationOutcome'
  )
}
