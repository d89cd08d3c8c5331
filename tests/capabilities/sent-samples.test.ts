/** The files of `samples/sent` show what each option of a destination does, and DEVELOPERS.md names each. */
import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { sentSamples } from '../../samples/generator/sent-samples.ts'
import { blocks } from '../../src/core/basics/issue.ts'
import { examineResource } from '../../src/flow/prove/examine-resource.ts'
import { exampleSettings } from '../support/example-settings.ts'
import { shippedRules } from '../support/recompute-rules.ts'

describe('the samples of what is sent', () => {
  const root = new URL('../../', import.meta.url)
  const text = (path: string) => readFileSync(new URL(path, root), 'utf8')
  const samples = [...sentSamples()]

  it('are what the options give today, and no others lie beside them', () => {
    expect(readdirSync(new URL('samples/sent/', root)).sort()).toEqual(samples.map(([name]) => name).sort())
    for (const [name, today] of samples) {
      const kept = text(`samples/sent/${name}`)
      if (name.endsWith('.json')) expect(JSON.parse(kept), name).toEqual(JSON.parse(today))
      else expect(kept, name).toBe(today)
    }
  })

  it('are valid, and each differs from what is sent without its option', () => {
    const texts = samples.map(([, today]) => today)
    expect(new Set(texts).size).toBe(texts.length)
    for (const [name, today] of samples) {
      if (!name.endsWith('.json')) continue
      expect(examineResource(JSON.parse(today), shippedRules()).issues.filter(blocks), name).toEqual([])
    }
  })

  it('are each named in the table of DEVELOPERS.md, beside every option there is', () => {
    const section = text('DEVELOPERS.md').split('## What is sent')[1]?.split('\n## ')[0] ?? ''
    for (const [name] of samples) expect(section).toContain(`\`${name}\``)
    const [destination] = exampleSettings().destinations
    if (destination === undefined) throw new Error('the example settings have no destination')
    const { adornment, readings, positionAs, snomed, decimals, attention } = destination
    const options = { ...adornment, readings, positionAs, snomed, decimals, attention }
    for (const option of Object.keys(options)) expect(section).toContain(`| \`${option}\``)
  })
})
