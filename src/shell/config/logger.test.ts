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
    const [line] = linesOf('info', (log) => log.info('delivered', { destination: 'clinic', created: 3 }))
    expect(line).toMatchObject({ event: 'delivered', destination: 'clinic', created: 3 })
  })

  it('drops fields that are not allowed and says which', () => {
    const lines = linesOf('info', (log) => log.error('failed', { subject: 'HW-1042', code: 'STORE_FAILED' }))
    expect(lines).toMatchObject([{ event: 'failed', code: 'STORE_FAILED', dropped: 'subject' }])
    expect(JSON.stringify(lines)).not.toContain('HW-1042')
  })

  it('drops an allowed field that holds long text', () => {
    const lines = linesOf('info', (log) => log.warn('failed', { problem: 'x'.repeat(121) }))
    expect(lines).toMatchObject([{ event: 'failed', dropped: 'problem' }])
  })

  it('keeps quiet below its level', () => {
    expect(linesOf('warn', (log) => log.info('started'))).toEqual([])
  })
})
