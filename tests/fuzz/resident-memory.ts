import { readFileSync } from 'node:fs'
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'

const MEGABYTE = 1_048_576

/** Resident memory of this process in MB, after everything that is not held any more was let go. */
export function residentMb(): number {
  letGo()
  return process.memoryUsage().rss / MEGABYTE
}

/** What this process holds of objects, in MB, after everything that is not held any more was let go. */
export function heapMb(): number {
  letGo()
  return process.memoryUsage().heapUsed / MEGABYTE
}

function letGo(): void {
  setFlagsFromString('--expose-gc')
  const collectGarbage: unknown = runInNewContext('gc')
  if (typeof collectGarbage !== 'function') throw new Error('the garbage collector cannot be called')
  for (let round = 0; round < 3; round += 1) collectGarbage()
}

/**
 * The most resident memory this process ever had, in MB. Linux hands the mark of a parent on to what it starts, so there
 * the process' own is read.
 */
export function peakResidentMb(): number {
  if (process.platform === 'linux') {
    const found = /^VmHWM:\s+(\d+) kB/m.exec(readFileSync('/proc/self/status', 'utf8'))
    if (found !== null) return Number(found[1]) / 1024
  }
  return process.resourceUsage().maxRSS / 1024
}
