import { describe, expect, it } from 'vitest'
import { createLog } from './logger.ts'

function linesOf(
  level: 'info' | 'warn',
  write: (log: ReturnType<typeof createLog>) => void,
): readonly unknown[] {
  const lines: unknown[] = []
  write(createLog({ log: { level } }, { write: (text) => lines.push(JSON.parse(text)) }))
  return lines
}

describe('the log', () => {
  it('writes an event with its fields as one JSON line', () => {
    const [line] = linesOf('info', (log) => log.info('delivered', { destination: 'clinic', received: 3 }))
    expect(line).toMatchObject({ event: 'delivered', destination: 'clinic', received: 3 })
  })

  it('drops fields that are not allowed and says which', () => {
    const fields = { subject: 'HW-1042', code: 'STORE_FAILED' }
    // @ts-expect-error: a subject is no field of the log
    const lines = linesOf('info', (log) => log.error('failed', fields))
    expect(lines).toMatchObject([{ event: 'failed', code: 'STORE_FAILED', dropped: 'subject' }])
    expect(JSON.stringify(lines)).not.toContain('HW-1042')
  })

  it('drops an allowed field that holds long text', () => {
    const lines = linesOf('info', (log) => log.warn('failed', { problem: 'x'.repeat(121) }))
    expect(lines).toMatchObject([{ event: 'failed', dropped: 'problem' }])
  })

  it('tells why: a sentence of our own is written, and cut where it is very long', () => {
    const sentence = `the bundle of period ${'0'.repeat(36)} breaks ext-1 at Bundle.entry[2].resource${'.extension[12]'.repeat(3)}`
    expect(sentence.length).toBeGreaterThan(120)
    const lines = linesOf('info', (log) => {
      log.error('period-not-closed', { error: sentence })
      log.error('period-not-closed', { error: 'x'.repeat(500) })
    })
    expect(lines).toMatchObject([{ error: sentence }, { error: `${'x'.repeat(400)}…` }])
    for (const line of lines) expect(line).not.toHaveProperty('dropped')
  })

  it('keeps quiet below its level', () => {
    expect(linesOf('warn', (log) => log.info('started'))).toEqual([])
  })
})
