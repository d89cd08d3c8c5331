import { closeSync, openSync, rmSync } from 'node:fs'
import { dirname } from 'node:path'
import { StoreFailed } from '../../core/basics/gateway-error.ts'
import { stoppedRoute } from '../../flow/deliver/route/stop-route.ts'
import { asStoreFailed } from './as-store-failed.ts'
import { AuditRows } from './audit-rows.ts'
import { Database } from './database.ts'
import { flush } from './flush.ts'
import { OWNER_ONLY } from './owner-only.ts'
import { RouteRows } from './route-rows.ts'

/** What a gateway that goes on from the copy has to look for. */
export interface StoreCopy {
  /** Deliveries that were not settled, and count as uncertain in the copy. */
  readonly uncertain: number
  /** Destinations that are stopped in the copy, because their servers cannot be asked what they hold. */
  readonly stopped: readonly string[]
}

/**
 * Makes a copy of a store as it is at this moment, from which a gateway can go on; others may read and write the store
 * meanwhile. On the disk when it resolves.
 *
 * The copy does not know what the store delivers from now on, and whoever goes on from it must make nothing twice. So what
 * is not settled is uncertain in it, which is looked for before it is sent; and where something was ever made by plain
 * creates, whose server cannot be asked, nothing is sent until a person has looked.
 *
 * @throws StoreFailed when there is no such store, the copy cannot be written, or there is a file in its place.
 */
export function copyStore(file: string, into: string, nowMs: number): StoreCopy {
  try {
    closeSync(openSync(into, 'wx', OWNER_ONLY))
  } catch (error) {
    throw new StoreFailed(
      `cannot write the copy ${into}: ${codeOf(error)}. Name a new file, in a folder there is.`,
    )
  }
  try {
    copyWhole(file, into)
    const copy = fitToGoOn(into, nowMs)
    flush(into)
    flush(dirname(into))
    return copy
  } catch (error) {
    for (const suffix of ['', '-wal', '-shm', '-journal']) rmSync(`${into}${suffix}`, { force: true })
    throw asStoreFailed('copy', error)
  }
}

/** What one moment of the store holds, without the room that removed rows left. Source: SQLite, VACUUM INTO. */
function copyWhole(file: string, into: string): void {
  const store = new Database(file)
  try {
    store.prepare('VACUUM INTO ?').run(into)
  } finally {
    store.close()
  }
}

function fitToGoOn(into: string, nowMs: number): StoreCopy {
  const copy = new Database(into)
  try {
    const routes = new RouteRows(copy)
    const audit = new AuditRows(copy)
    return copy.write(() => {
      const { changes } = copy.prepare("UPDATE outbox SET uncertain = 1 WHERE state <> 'settled'").run()
      const unasked = routes.all().filter(({ used, stopped }) => used.includes('create-only') && !stopped)
      for (const one of unasked) {
        const stop = stoppedRoute(one, 'STORE_COPIED', nowMs)
        routes.save(stop.route)
        audit.append(stop.audit)
      }
      return { uncertain: changes, stopped: unasked.map(({ destination }) => destination) }
    })
  } finally {
    // One file, with nothing beside it.
    copy.run('PRAGMA journal_mode = DELETE')
    copy.close()
  }
}

function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : 'unknown reason'
}
