import { rmSync } from 'node:fs'
import { DatabaseSync } from '@photostructure/sqlite'

/** Lines of one transaction: the same as a batch of ours. */
const BATCH = 500

/**
 * The floor of a stream: split the text, parse each line, append it to a table that has no index, commit durably every
 * 500 lines. Returns lines per second.
 */
export function appendOnly(file: string, text: string): number {
  rmSync(file, { force: true })
  const database = new DatabaseSync(file)
  database.exec('PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL')
  database.exec('CREATE TABLE line (seq INTEGER PRIMARY KEY, id TEXT, raw TEXT) STRICT')
  const insert = database.prepare('INSERT INTO line (id, raw) VALUES (?, ?)')
  const start = performance.now()
  const lines = text.split('\n')
  for (let at = 0; at < lines.length; at += BATCH) {
    database.exec('BEGIN')
    for (const line of lines.slice(at, at + BATCH)) if (line !== '') insert.run(JSON.parse(line).id, line)
    database.exec('COMMIT')
  }
  const seconds = (performance.now() - start) / 1000
  database.close()
  return lines.length / seconds
}
