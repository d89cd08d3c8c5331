import { parentPort, workerData } from 'node:worker_threads'
import { asStoreFailed } from '../connection/as-store-failed.ts'
import { packBatch } from './packed-batch.ts'
import { sweepBatches } from './sweep-batches.ts'
import type { SweepOrder, SweepReply, SweepStart } from './sweep-messages.ts'

// The thread of one sweep: a batch for each time it is asked for more, until it is done or told to stop.

const port = parentPort
if (port === null) throw new Error('this file is the start of a worker thread')
const { file, request }: SweepStart = workerData
const batches = sweepBatches(file, request)

function reply(message: SweepReply, moved: readonly ArrayBuffer[] = []): void {
  port?.postMessage(message, moved)
}

function next(): void {
  try {
    const { done, value } = batches.next()
    if (done === true) {
      reply({ kind: 'done' })
      port?.close()
      return
    }
    const batch = packBatch(value)
    reply({ kind: 'batch', batch }, [batch.numbers.buffer])
  } catch (error) {
    reply({ kind: 'failed', message: asStoreFailed('sweep', error).message })
    port?.close()
  }
}

port.on('message', (order: SweepOrder) => {
  if (order === 'more') return next()
  batches.return()
  port.close()
})
