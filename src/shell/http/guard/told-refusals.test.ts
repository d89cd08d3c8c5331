import { describe, expect, it } from 'vitest'
import type { Log } from '../../../flow/ports/ports.ts'
import { toldRefusals } from './told-refusals.ts'

describe('callers that are turned away', () => {
  let nowMs = 0
  let lines: object[] = []
  const log: Log = {
    info: () => undefined,
    warn: (event, fields) => lines.push({ event, ...fields }),
    error: () => undefined,
  }
  const open = () => {
    nowMs = Date.UTC(2026, 2, 2)
    lines = []
    return toldRefusals(log, () => nowMs)
  }

  it('are told at once, and then counted together, a line a minute', () => {
    const told = open()
    for (let tried = 0; tried < 420; tried += 1) told('KEY_REQUIRED')
    expect(lines).toEqual([{ event: 'access-refused', code: 'KEY_REQUIRED', refused: 1 }])
    nowMs += 60_000
    told('KEY_REQUIRED')
    expect(lines.slice(1)).toEqual([{ event: 'access-refused', code: 'KEY_REQUIRED', refused: 420 }])
  })

  it('are told for each reason by itself', () => {
    const told = open()
    told('KEY_REQUIRED')
    told('NOT_ALLOWED')
    expect(lines).toMatchObject([{ code: 'KEY_REQUIRED' }, { code: 'NOT_ALLOWED' }])
  })

  it('are not silenced by a clock that is set back', () => {
    const told = open()
    told('KEY_REQUIRED')
    nowMs -= 3_600_000
    told('KEY_REQUIRED')
    expect(lines).toHaveLength(2)
  })
})
