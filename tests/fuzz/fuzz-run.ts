import { benchSubject } from '../../samples/generator/generate-sessions.ts'
import type { MappedArrival } from '../../src/flow/intake/mapped-intake.ts'
import type { StoreFigures } from '../../src/flow/ports/ports.ts'
import { type Outcome, receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { type OpenFlows, openFlows, SOURCE } from '../support/open-flows.ts'
import { arrive } from './arrive.ts'
import { showsCanary } from './canaries.ts'
import { type Chooser, chooser } from './chooser.ts'
import { coverageFaults } from './coverage-faults.ts'
import { PEOPLE } from './formats/made-sittings.ts'
import { anyInput, type FuzzInput, sentAgain } from './fuzz-input.ts'
import { outcomeFaults } from './outcome-faults.ts'
import { peakResidentMb, residentMb } from './resident-memory.ts'

export interface FuzzOptions {
  readonly seed: number
  /** How many source records are to go in, at least. */
  readonly records: number
}

export interface FuzzFigures {
  readonly seed: number
  readonly inputs: number
  readonly records: number
  /** Sittings or records by what became of them, by format. */
  readonly outcomes: ReadonlyMap<string, ReadonlyMap<string, number>>
  /** Everything that is not as it must be, each with the input that shows it. */
  readonly faults: readonly string[]
  /** Resident memory when a tenth of the records had come, and at the end. */
  readonly earlyMb: number
  readonly lateMb: number
  readonly peakMb: number
  readonly seconds: number
}

/** Records that are received in one call. */
const BATCH = 64
/** Enough to see what is wrong. */
const MOST_FAULTS = 25
/** Inputs that may come again. */
const REMEMBERED = 20

/** Sends generated inputs of all formats through the intake into a store, and looks at everything that comes of it. */
export async function runFuzz({ seed, records }: FuzzOptions): Promise<FuzzFigures> {
  const start = performance.now()
  const flows = await openFlows({ now: '2026-07-01T12:00:00Z' })
  try {
    for (let number = 1; number <= PEOPLE; number += 1) {
      await flows.enrol(benchSubject(number), { zone: 'Europe/London' })
    }
    const run = new FuzzRun(flows, chooser(seed), seed)
    await run.begin()
    while (run.records < records / 10 && run.goesOn()) await run.sendOne()
    const earlyMb = residentMb()
    while (run.records < records && run.goesOn()) await run.sendOne()
    await run.finish()
    return {
      ...run.figures(),
      earlyMb,
      lateMb: residentMb(),
      peakMb: peakResidentMb(),
      seconds: (performance.now() - start) / 1000,
    }
  } finally {
    await flows.close()
  }
}

/** What every object inherits before anything came. */
const INHERITED: ReadonlySet<string> = new Set(Object.getOwnPropertyNames(Object.prototype))

interface Sent {
  readonly input: FuzzInput
  readonly number: number
  readonly arrival: MappedArrival
}

class FuzzRun {
  records = 0
  readonly #flows: OpenFlows
  readonly #random: Chooser
  readonly #seed: number
  readonly #faults: string[] = []
  readonly #outcomes = new Map<string, Map<string, number>>()
  readonly #earlier: FuzzInput[] = []
  #inputs = 0
  #batch: Sent[] = []
  #before: StoreFigures | undefined
  #inboxRows = 0

  constructor(flows: OpenFlows, random: Chooser, seed: number) {
    this.#flows = flows
    this.#random = random
    this.#seed = seed
  }

  async begin(): Promise<void> {
    this.#before = await this.#flows.ports.store.figures()
  }

  goesOn(): boolean {
    return this.#faults.length < MOST_FAULTS
  }

  async sendOne(): Promise<void> {
    const input = this.#nextInput()
    const number = this.#inputs++
    const name = input.format.mapping
    const mapping = name === undefined ? undefined : this.#flows.ports.catalogue.mappings.get(name)
    if (name !== undefined && mapping === undefined) throw new Error(`${name} is not loaded`)
    try {
      const arrivals = await arrive(input.bytes, input.shape, mapping, this.#random.happens(0.3))
      for (const fault of await coverageFaults(input, mapping, arrivals)) this.#note(fault, input, number)
      for (const arrival of arrivals) {
        this.records += Math.max(arrival.sources.length, 1)
        this.#batch.push({ input, number, arrival })
      }
    } catch (error) {
      this.#note(`reading it throws ${String(error)}`, input, number)
    }
    if (this.#batch.length >= BATCH) await this.#receive()
  }

  async finish(): Promise<void> {
    await this.#receive()
    if (Object.getOwnPropertyNames(Object.prototype).some((name) => !INHERITED.has(name)))
      this.#faults.push('every object has a new property')
    const rows = await this.#flows.ports.store.auditPage({ limit: 100_000 })
    if (rows.some((row) => showsCanary(JSON.stringify(row))))
      this.#faults.push('an audit row shows what was sent')
    if (showsCanary(JSON.stringify(this.#flows.log.lines))) this.#faults.push('the log shows what was sent')
  }

  figures() {
    const { records } = this
    return {
      seed: this.#seed,
      inputs: this.#inputs,
      records,
      outcomes: this.#outcomes,
      faults: this.#faults,
    }
  }

  #nextInput(): FuzzInput {
    const earlier = this.#random.happens(0.08)
      ? this.#earlier[this.#random.place(this.#earlier.length)]
      : undefined
    if (earlier !== undefined) return sentAgain(earlier, this.#random)
    const input = anyInput(this.#random)
    this.#earlier[this.#inputs % REMEMBERED] = input
    return input
  }

  async #receive(): Promise<void> {
    const batch = this.#batch
    this.#batch = []
    if (batch.length === 0) return
    const incoming = batch.map(({ arrival }) => arrival.incoming)
    let outcomes: readonly Outcome[]
    try {
      outcomes = await receiveSessions(incoming, { source: SOURCE }, this.#flows.ports)
    } catch (error) {
      for (const { input, number } of batch) this.#note(`receiving throws ${String(error)}`, input, number)
      return
    }
    if (outcomes.length !== batch.length)
      this.#faults.push(`${batch.length} came, ${outcomes.length} outcomes`)
    for (const [index, sent] of batch.entries()) {
      const outcome = outcomes[index]
      if (outcome !== undefined) await this.#look(sent, outcome)
    }
    await this.#lookAtStore(outcomes)
  }

  async #look({ input, number, arrival }: Sent, outcome: Outcome): Promise<void> {
    const counts = this.#outcomes.get(input.format.name) ?? new Map<string, number>()
    counts.set(outcome.kind, (counts.get(outcome.kind) ?? 0) + 1)
    this.#outcomes.set(input.format.name, counts)
    try {
      const faults = await outcomeFaults(arrival, outcome, this.#flows.ports)
      for (const fault of faults) this.#note(fault, input, number)
    } catch (error) {
      this.#note(`looking at what became of it throws ${String(error)}`, input, number)
    }
    const isTaken = 'receipt' in outcome || (outcome.kind === 'refused' && outcome.conflict)
    if (input.mustKeep !== undefined && !isTaken) {
      const why = outcome.kind === 'refused' ? outcome.issues.map(({ code }) => code).join(' ') : outcome.kind
      this.#note(`it was sent as it should be, and is ${why}`, input, number)
    }
  }

  /**
   * One row of the inbox for each version kept, one audit row for each and one for all refusals of a call; nothing else.
   */
  async #lookAtStore(outcomes: readonly Outcome[]): Promise<void> {
    const { store } = this.#flows.ports
    const count = (...kinds: readonly string[]) => outcomes.filter(({ kind }) => kinds.includes(kind)).length
    const kept = count('kept')
    const rows = count('kept', 'corrected', 'withdrawn')
    const after = await store.figures()
    const before = this.#before ?? after
    this.#before = after
    this.#inboxRows += rows
    const found = {
      sessions: after.sessions - before.sessions,
      auditRows: after.auditRows - before.auditRows,
      inboxRows: await store.newestSeq(),
    }
    const expected = {
      sessions: kept,
      auditRows: rows + (count('refused') > 0 ? 1 : 0),
      inboxRows: this.#inboxRows,
    }
    if (JSON.stringify(found) !== JSON.stringify(expected))
      this.#faults.push(`the store has ${JSON.stringify(found)} more, not ${JSON.stringify(expected)}`)
  }

  #note(fault: string, { format, shape, bytes }: FuzzInput, number: number): void {
    if (this.#faults.length >= MOST_FAULTS) return
    const shown = JSON.stringify(bytes.subarray(0, 6_000).toString('latin1'))
    this.#faults.push(
      `seed ${this.#seed}, input ${number}, ${format.name}, ${shape}: ${fault}; sent ${shown}`,
    )
  }
}
