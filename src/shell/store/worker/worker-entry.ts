import { parentPort, workerData } from 'node:worker_threads'
import { asStoreFailed } from '../as-store-failed.ts'
import { MergeSchedule } from '../merge-schedule.ts'
import { SqliteEngine } from '../sqlite-engine.ts'
import { warnOfMerge } from '../writer.ts'
import { OPENED, type Reply, type Request, type Start } from './messages.ts'

// The thread that owns the store's file: one request after the other, and merging in between.

const port = parentPort
if (port === null) throw new Error('this file is the start of a worker thread')
const start: Start = workerData
const reply = (message: Reply): void => port.postMessage(message)

function serve(engine: SqliteEngine): void {
  const merges = new MergeSchedule(engine, warnOfMerge)
  port?.on('message', ({ number, name, values }: Request) => {
    try {
      if (name === 'close') {
        merges.stop()
        engine.close()
        reply({ number, ok: true, value: undefined })
        port?.close()
        return
      }
      reply({ number, ok: true, value: Reflect.apply(engine[name], engine, values) })
      merges.called()
    } catch (error) {
      reply({ number, ok: false, message: asStoreFailed(name, error).message })
    }
  })
}

try {
  serve(new SqliteEngine(start))
  reply({ number: OPENED, ok: true, value: undefined })
} catch (error) {
  reply({ number: OPENED, ok: false, message: asStoreFailed('open', error).message })
  port.close()
}
