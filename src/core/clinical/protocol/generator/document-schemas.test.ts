import { Ajv } from 'ajv'
import { describe, expect, it } from 'vitest'
import { profileFiles, profileJson } from '../../../../../tests/support/shipped-profiles.ts'
import { documentSchemas } from './document-schemas.ts'

describe('the schemas for editors', () => {
  it.each(Object.entries(documentSchemas()))(
    '%s in profiles/schemas is what the generator makes',
    (file, schema) => {
      expect(profileJson(`schemas/${file}`)).toEqual(JSON.parse(JSON.stringify(schema)))
    },
  )

  it.each([
    ['protocols', 'protocol.schema.json'],
    ['recording-rules', 'recording-rule.schema.json'],
    ['threshold-sets', 'threshold-set.schema.json'],
  ] as const)('accept every shipped file of %s', (folder, schema) => {
    const validate = new Ajv({ validateFormats: false, multipleOfPrecision: 6 }).compile(
      documentSchemas()[schema],
    )
    const files = profileFiles(folder)
    expect(files.length).toBeGreaterThan(0)
    for (const file of files) expect(validate(profileJson(`${folder}/${file}`)), file).toBe(true)
  })
})
