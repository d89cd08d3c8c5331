import { describe, expect, it } from 'vitest'
import { compileTimeForm } from '../../core/mapping/forms/time-form.ts'
import { proveCsv } from './prove-csv.ts'

function times(form: string) {
  const compiled = compileTimeForm(form)
  if (typeof compiled === 'string') throw new Error(compiled)
  return [{ columns: ['date', 'time'], form: compiled }]
}

function prove(text: string, form = 'MM/DD/YYYY HH:mm') {
  async function* open() {
    yield Buffer.from(text)
  }
  return proveCsv({ open }, { delimiter: ',', columns: ['date', 'time'] }, times(form))
}

describe('proving a CSV file before a row of it is taken', () => {
  it('counts the rows, and those that will be refused alone', async () => {
    expect(await prove('date,time\n03/04/2026,07:10\n\n03/05/2026\n02/30/2026,07:10\n')).toEqual({
      ok: true,
      value: { rows: 3, refusedRows: 1 },
    })
  })

  it('refuses the file for dates that stand in another order than declared, with their lines', async () => {
    const proven = await prove('date,time\n03/04/2026,07:10\n13/04/2026,07:10\n14/04/2026,07:10\n')
    expect(proven).toMatchObject({
      ok: false,
      issues: [
        { code: 'DAY_ORDER', line: 3, from: 'date, time' },
        { code: 'DAY_ORDER', line: 4, from: 'date, time' },
      ],
    })
    expect(JSON.stringify(proven)).not.toContain('2026')
  })

  it('takes no offence at a day that exists in no order', async () => {
    expect(await prove('date,time\n02/30/2026,07:10\n00/00/2026,07:10\n')).toMatchObject({ ok: true })
  })

  it('looks no further when enough is told', async () => {
    const proven = await prove(`date,time\n${'13/04/2026,07:10\n'.repeat(100)}`)
    expect(proven.ok ? 0 : proven.issues.length).toBe(20)
  })

  it('refuses the file for what ends it, however late', async () => {
    expect(await prove(`date,time\n${'03/04/2026,07:10\n'.repeat(10_000)}"03/04`)).toMatchObject({
      ok: false,
      issues: [{ code: 'NOT_CSV', line: 10_002 }],
    })
  })

  it('tells both when the order is wrong and the end is missing', async () => {
    expect(await prove('date,time\n13/04/2026,07:10\n"')).toMatchObject({
      ok: false,
      issues: [
        { code: 'NOT_CSV', line: 3 },
        { code: 'DAY_ORDER', line: 2 },
      ],
    })
  })
})
