import { measuredProcess } from '../measured-process.ts'

export interface MeasuredMeans {
  /** Of each round. */
  readonly ms: readonly number[]
  readonly people: number
  readonly peakMb: number
}

/** Count and sums of a person's readings, morning and evening apart, by the clock of UTC. */
const SQL = `SELECT subject,
  count(*) FILTER (WHERE taken_ms / 3600000 % 24 < 12) AS morning,
  sum(systolic) FILTER (WHERE taken_ms / 3600000 % 24 < 12) AS morning_systolic,
  sum(diastolic) FILTER (WHERE taken_ms / 3600000 % 24 < 12) AS morning_diastolic,
  count(*) FILTER (WHERE taken_ms / 3600000 % 24 >= 12) AS evening,
  sum(systolic) FILTER (WHERE taken_ms / 3600000 % 24 >= 12) AS evening_systolic,
  sum(diastolic) FILTER (WHERE taken_ms / 3600000 % 24 >= 12) AS evening_diastolic
  FROM plain_reading GROUP BY source_no, subject`

const PROCESS = `
const [library, file, sql, rounds] = process.argv.slice(1)
const { DatabaseSync } = await import(library)
const database = new DatabaseSync(file, { readOnly: true })
const statement = database.prepare(sql)
const ms = []
let people = 0
for (let round = 0; round < Number(rounds); round += 1) {
  const start = performance.now()
  people = 0
  for (const row of statement.iterate()) people += row.morning + row.evening > 0 ? 1 : 0
  ms.push(performance.now() - start)
}
console.log(JSON.stringify({ ms, people, peakMb: process.resourceUsage().maxRSS / 1024 }))
`

/** The floor of a sweep: one plain SQL aggregate per person over the same readings as a plain clustered table. */
export function sqlMeans(file: string, rounds: number): Promise<MeasuredMeans> {
  const library = import.meta.resolve('@photostructure/sqlite')
  return measuredProcess(PROCESS, [library, file, SQL, String(rounds)])
}
