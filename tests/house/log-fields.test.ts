import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'
import { describe, expect, it } from 'vitest'
import { LOG_FIELDS } from '../../src/flow/ports/log-port.ts'
import { recordedLog } from '../support/recorded-log.ts'
import { root, sourceFiles } from './source-files.ts'

const LOG_CALL = /(?:^|\.)#?log\.(?:info|warn|error)$/

interface Passed {
  /** File and line. */
  readonly at: string
  readonly names: readonly string[]
}

/** The names of the fields that each call of the log writes out. Those it spreads are the compiler’s to refuse. */
function fieldsPassed(): readonly Passed[] {
  return sourceFiles().flatMap(({ path }) => {
    const text = readFileSync(join(root, 'src', path), 'utf8')
    const file = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true)
    const found: Passed[] = []
    const walk = (node: ts.Node): void => {
      const fields =
        ts.isCallExpression(node) && LOG_CALL.test(node.expression.getText()) && node.arguments[1]
      if (fields && ts.isObjectLiteralExpression(fields)) {
        const { line } = file.getLineAndCharacterOfPosition(node.getStart())
        const names = fields.properties.flatMap(({ name }) => (name === undefined ? [] : [name.getText()]))
        found.push({ at: `${path}:${line + 1}`, names })
      }
      ts.forEachChild(node, walk)
    }
    walk(file)
    return found
  })
}

describe('the fields of the log', () => {
  it('that are written out in src are all on the list, so that none is dropped', () => {
    const passed = fieldsPassed()
    expect(passed.length).toBeGreaterThan(15)
    const listed: ReadonlySet<string> = new Set(LOG_FIELDS)
    expect(passed.filter(({ names }) => !names.every((name) => listed.has(name)))).toEqual([])
  })

  it('that are spread or handed on are refused by the compiler when they are not on the list', () => {
    const log = recordedLog()
    const more = { destination: 'clinic', subject: 'HW-1' }
    const either = log.lines.length === 0 ? { code: 'NOT_YET' } : { code: 'NOT_YET', patient: 'P-1' }
    // @ts-expect-error: handed on
    log.info('event', more)
    // @ts-expect-error: spread
    log.info('event', { code: 'NOT_YET', ...more })
    // @ts-expect-error: one of two kinds
    log.info('event', either)
    log.info('event', { code: 'NOT_YET', ms: 3 })
    expect(log.lines).toHaveLength(4)
  })
})
