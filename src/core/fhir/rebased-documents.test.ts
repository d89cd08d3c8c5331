import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { profileFiles, profileJson } from '../../../tests/support/shipped-profiles.ts'
import { DEFAULT_CANONICAL_BASE } from './canonical-base.ts'
import { rebased } from './rebased-documents.ts'

const BASE = 'https://gateway.clinic.example/r4'

describe('a conformance document under another base', () => {
  it('names every URL of ours under it, alone, with a version or deeper', () => {
    const document = {
      url: `${DEFAULT_CANONICAL_BASE}/StructureDefinition/exclusion`,
      compose: { include: [{ system: `${DEFAULT_CANONICAL_BASE}/CodeSystem/home-bp-gateway|0.1.0` }] },
      base: DEFAULT_CANONICAL_BASE,
    }
    expect(rebased(document, BASE)).toEqual({
      url: `${BASE}/StructureDefinition/exclusion`,
      compose: { include: [{ system: `${BASE}/CodeSystem/home-bp-gateway|0.1.0` }] },
      base: BASE,
    })
  })

  it('leaves alone what is not a URL of ours', () => {
    const document = {
      url: 'http://hl7.org/fhir/StructureDefinition/bp',
      near: `${DEFAULT_CANONICAL_BASE}-of-others/StructureDefinition/x`,
      description: `See ${DEFAULT_CANONICAL_BASE}/protocol`,
      min: 1,
      abstract: false,
      nothing: null,
    }
    expect(rebased(document, BASE)).toEqual(document)
  })

  it('comes back the same when moved and moved back, whatever it holds', () => {
    const text = fc.oneof(
      fc.string(),
      fc.string().map((end) => `${DEFAULT_CANONICAL_BASE}/${end}`),
    )
    fc.assert(
      fc.property(fc.jsonValue(), text, (value, url) => {
        const document = { url, value }
        const moved = JSON.stringify(rebased(document, BASE))
        const back = moved.replaceAll(`"${BASE}`, `"${DEFAULT_CANONICAL_BASE}`)
        expect(JSON.parse(back)).toEqual(JSON.parse(JSON.stringify(document)))
      }),
    )
  })

  it('keeps nothing of the default base in any definition that ships', () => {
    for (const folder of ['structure-definitions', 'code-systems']) {
      for (const file of profileFiles(folder)) {
        const document = profileJson(`${folder}/${file}`)
        expect(JSON.stringify(document), file).toContain(DEFAULT_CANONICAL_BASE)
        expect(JSON.stringify(rebased(document, BASE)), file).not.toContain(DEFAULT_CANONICAL_BASE)
      }
    }
  })
})
