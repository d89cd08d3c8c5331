import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { Ajv } from 'ajv'
import { describe, expect, it } from 'vitest'
import { root } from '../../../../tests/house/source-files.ts'
import { shippedMappingFiles, shippedMappings } from '../../../../tests/support/shipped-mapping.ts'
import { mappingJsonSchema } from './mapping-json-schema.ts'

describe('the schema of mappings for editors', () => {
  it('is what the generator makes', () => {
    const kept: unknown = JSON.parse(readFileSync(join(root, 'mappings/mapping.schema.json'), 'utf8'))
    expect(kept).toEqual(mappingJsonSchema())
  })

  const validate = new Ajv({ validateFormats: false, allowUnionTypes: true }).compile(mappingJsonSchema())

  it.each(shippedMappings())('accepts %s', (name) => {
    expect(validate(JSON.parse(shippedMappingFiles(name).text)), JSON.stringify(validate.errors)).toBe(true)
  })

  it('refuses a place that the session record does not have', () => {
    const { text } = shippedMappingFiles('open-mhealth')
    expect(validate(JSON.parse(text.replace('"systolic"', '"weight"')))).toBe(false)
  })
})
