/** The API description: of every route and of no other, and a document that validators and linters of others accept. */
import { METHODS } from 'node:http'
import { createConfig, lintFromString } from '@redocly/openapi-core'
import { Validator } from '@seriousme/openapi-schema-validator'
import express from 'express'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { CAUTION } from '../../src/core/clinical/report/caution.ts'
import { createApp } from '../../src/shell/http/create-app.ts'
import { signingKeysIn } from '../../src/shell/signing-keys/signing-keys.ts'
import { type ApiDescription, operationsOf } from '../support/api-description.ts'
import { ask } from '../support/ask.ts'
import { exampleSettings } from '../support/example-settings.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'

interface Layer {
  readonly route?: { readonly path: string; readonly methods: Readonly<Record<string, boolean>> }
}

/**
 * Each method and path that Express answers, the path as a description writes it. What is there for every method that
 * Node knows says only which of them a path has.
 */
function routesOf({ router }: ReturnType<typeof express>): readonly string[] {
  return (router.stack as unknown as readonly Layer[]).flatMap(({ route }) => {
    const methods = Object.keys(route?.methods ?? {})
    if (route === undefined || methods.length === METHODS.length) return []
    return methods.map((method) => `${method} ${route.path.replaceAll(/:(\w+)/g, '{$1}')}`)
  })
}

describe('the API description', () => {
  let door: OpenDoor
  let text: string
  let api: ApiDescription
  let routes: readonly string[]
  beforeAll(async () => {
    door = await openDoor()
    text = (await ask(door.url, '/openapi.json')).text
    api = JSON.parse(text)
    const settings = exampleSettings()
    routes = routesOf(createApp(door.ports, settings, signingKeysIn(settings.signingKeysFolder, door.ports)))
  })
  afterAll(() => door.close())

  it('has every route that Express answers, and no other', () => {
    expect(routes.length).toBeGreaterThan(50)
    const described = operationsOf(api).map(({ method, path }) => `${method} ${path}`)
    expect(described.sort()).toEqual([...routes].sort())
  })

  it('tells a route apart that nobody described', () => {
    const app = express()
    app.get('/a/:b', (_request, response) => response.end())
    app.all('/a/:b', (_request, response) => response.end())
    expect(routesOf(app)).toEqual(['get /a/{b}'])
  })

  it('says of each route who may use it, as the gateway does', async () => {
    const guarded = await openDoor({ settings: { access: 'keys' } })
    try {
      for (const { method, path, security } of operationsOf(api)) {
        const asked = path.replaceAll(/\{\w+\}/g, 'x')
        const { status } = await ask(guarded.url, asked, { method: method.toUpperCase() })
        expect([method, path, status === 401]).toEqual([method, path, security.length > 0])
      }
    } finally {
      await guarded.close()
    }
  })

  it('carries the caution where a reader begins', () => {
    expect(api.info.description).toContain(CAUTION)
  })

  it('is valid by the schema of OpenAPI 3.1', async () => {
    const { valid, errors } = await new Validator().validate(JSON.parse(text))
    expect({ valid, errors }).toEqual({ valid: true, errors: undefined })
  })

  it('meets every rule that is recommended for OpenAPI 3.1', async () => {
    const config = await createConfig({ extends: ['recommended'], rules: RULES })
    const problems = await lintFromString({ source: text, config })
    const told = problems.map(({ ruleId, message, location }) => [ruleId, message, location[0]?.pointer])
    expect(
      told.filter(([, message = '']) => !message.includes(`ambiguous paths: \`${OPERATION_ON_TYPE}\``)),
    ).toEqual([])
  })

  it('would be refused by the linter if it were wrong', async () => {
    const config = await createConfig({ extends: ['recommended'] })
    const source = text.replace('"operationId":"readSession"', '"operationId":"sendSessions"')
    const problems = await lintFromString({ source, config })
    expect(problems.map(({ ruleId }) => ruleId)).toContain('operation-operationId-unique')
  })
})

/**
 * The linter closes every schema by itself before it holds an example to it, one branch of a composed one at a time, so
 * that no session record would do. The test of the examples closes them as a whole, and holds the answers to that.
 */
const RULES = {
  'no-invalid-media-type-examples': { severity: 'error', allowAdditionalProperties: true },
} as const

/**
 * For the linter `$validate` may be an id of one of our definitions. It is none: R4 has no `$` in an id, and has operations
 * under just these paths. Source: FHIR R4 datatypes, id; operations.html.
 */
const OPERATION_ON_TYPE = '/fhir/{type}/$validate'
