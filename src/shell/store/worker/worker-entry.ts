import { parentPort, workerData } from 'node:worker_threads'
import type { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { asStoreFailed } from '../connection/as-store-failed.ts'
import { whyNotOpened } from '../connection/why-not-opened.ts'
import { MergeSchedule } from '../merge-schedule.ts'
import { openSqliteEngine, type SqliteEngine } from '../sqlite-engine.ts'
import { warnOfMerge } from '../writer.ts'
import { OPENED, type Reply, type Request, type Requests, type Start } from './messages.ts'

// The thread that owns the store's file: one request after the other, and merging in between.

const port = parentPort
if (port === null) throw new Error('this file is the start of a worker thread')
const start: Start = workerData
const reply = (...replies: readonly Reply[]): void => port.postMessage(replies)

/** Calls that wait for the disk: what was answered before them in the same message is not kept waiting with them. */
const SLOW: ReadonlySet<Request['name']> = new Set(['accept', 'writeDeliveries'])

function serve(engine: SqliteEngine): void {
  const merges = new MergeSchedule(engine, warnOfMerge)
  port?.on('message', (requests: Requests) => {
    engine.together(() => answer(requests, engine, merges))
    if (requests.some(({ name }) => name === 'close')) port?.close()
    else merges.called()
  })
}

function answer(requests: Requests, engine: SqliteEngine, merges: MergeSchedule): void {
  let replies: Reply[] = []
  for (const request of requests) {
    if (replies.length > 0 && SLOW.has(request.name)) {
      reply(...replies)
      replies = []
    }
    replies.push(answerTo(request, engine, merges))
  }
  reply(...replies)
}

function answerTo({ number, name, values }: Request, engine: SqliteEngine, merges: MergeSchedule): Reply {
  try {
    if (name !== 'close') return { number, ok: true, value: Reflect.apply(engine[name], engine, values) }
    merges.stop()
    engine.close()
    return { number, ok: true, value: undefined }
  } catch (error) {
    return failure(number, asStoreFailed(name, error))
  }
}

function failure(number: number, { message, sqlite }: StoreFailed): Reply {
  return { number, ok: false, message, ...(sqlite === undefined ? {} : { sqlite }) }
}

try {
  serve(openSqliteEngine(start))
  reply({ number: OPENED, ok: true, value: undefined })
} catch (error) {
  reply(failure(OPENED, whyNotOpened(start.file, error)))
  port.close()
}
