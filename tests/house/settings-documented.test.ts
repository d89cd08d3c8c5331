import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { settingsDocument } from '../../src/shell/config/settings/settings.ts'
import { root } from './source-files.ts'

interface Schema {
  readonly properties?: Readonly<Record<string, Schema>>
  readonly items?: Schema
  readonly anyOf?: readonly Schema[]
  readonly oneOf?: readonly Schema[]
}

/** Groups whose keys are codes or numbers of one kind, told in words: not what an operator looks a name up for. */
const TOLD_IN_WORDS = ['findings', 'high', 'low', 'irregularPulse', 'fallOnStanding', 'tags', 'identifiers']

function keysOf({ properties = {}, items, anyOf = [], oneOf = [] }: Schema): readonly string[] {
  const below = [...(items === undefined ? [] : [items]), ...anyOf, ...oneOf].flatMap(keysOf)
  const own = Object.entries(properties).flatMap(([key, inner]) => [
    key,
    ...(TOLD_IN_WORDS.includes(key) ? [] : keysOf(inner)),
  ])
  return [...new Set([...own, ...below])]
}

describe('the settings in DEVELOPERS.md', () => {
  const handbook = readFileSync(join(root, 'DEVELOPERS.md'), 'utf8')
  const section = (heading: string) => handbook.split(`\n## ${heading}\n`)[1]?.split('\n## ')[0] ?? ''

  it('name every key of the schema', () => {
    const text = section('Settings') + section('What is sent')
    // What is read is the whole of it, but for what a preprocessing step hides; what comes of it, but for a transform.
    const keys = (['input', 'output'] as const).flatMap((io) =>
      keysOf(z.toJSONSchema(settingsDocument, { io, unrepresentable: 'any' }) as Schema),
    )
    expect(keys).toEqual(
      expect.arrayContaining(['listen', 'quietMs', 'baseUrl', 'settledBy', 'profilesFolder']),
    )
    const isNamed = (key: string) => new RegExp(`[.\`"]${key}[\`"]`).test(text)
    expect(keys.filter((key) => key !== '$schema' && !isNamed(key))).toEqual([])
  })
})
