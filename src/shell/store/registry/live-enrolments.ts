import type { Enrolment } from '../../../core/registry/enrolment.ts'
import type { Store } from '../../../flow/ports/ports.ts'
import { asStoreFailed } from '../connection/as-store-failed.ts'
import type { Statement } from '../connection/database.ts'
import { ReadOnlyFile } from '../connection/read-only-file.ts'
import { type EnrolmentRow, linkOfRow } from './enrolment-row.ts'

/**
 * A store that looks enrolments up on a connection of its own in the calling thread: whatever is received needs one, and
 * asked of the thread that owns the file it would wait for a commit. None is remembered: another process may link a
 * subject to another patient, and nothing may be brought to the one before from then on.
 */
export function withLiveEnrolments(store: Store, file: string): Store {
  let live: LiveEnrolments | undefined
  return {
    ...store,
    async enrolments(source, subjects) {
      try {
        live ??= new LiveEnrolments(file)
        return live.find(source, subjects)
      } catch (error) {
        throw asStoreFailed('enrolments', error)
      }
    },
    async close() {
      // Before the one that writes: the last connection to close folds the write-ahead log back.
      live?.close()
      await store.close()
    },
  }
}

class LiveEnrolments {
  readonly #file: ReadOnlyFile
  readonly #enrolment: Statement<EnrolmentRow>

  constructor(file: string) {
    this.#file = new ReadOnlyFile(file)
    this.#enrolment = this.#file.prepare(
      `SELECT enrolment.* FROM source_number JOIN enrolment USING (source_no)
       WHERE source_number.name = ? AND enrolment.subject = ?`,
    )
  }

  /** All as they are at one moment. */
  find(source: string, subjects: readonly string[]): readonly (Enrolment | undefined)[] {
    return this.#file.read(() =>
      subjects.map((subject) => {
        const row = this.#enrolment.get(source, subject)
        return row && linkOfRow(row, source)
      }),
    )
  }

  close(): void {
    this.#file.close()
  }
}
