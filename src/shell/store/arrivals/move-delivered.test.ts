import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import {
  average,
  enrolment,
  period,
  RECEIVED_MS,
  sessionRecord,
} from '../../../../tests/contracts/store-builders.ts'
import { Database } from '../connection/database.ts'
import { migrate } from '../connection/migrate.ts'
import { DeliveredRows } from '../outbox/delivered-rows.ts'
import { OutboxRows } from '../outbox/outbox-rows.ts'
import { Periods } from '../registry/periods.ts'
import { RegistryRows } from '../registry/registry-rows.ts'
import { SourceNumbers } from '../registry/source-numbers.ts'
import { Inbox } from '../sittings/inbox.ts'
import { idKey } from '../sittings/lookup-keys.ts'
import { type MovingParts, moveDelivered } from './move-delivered.ts'

const SESSIONS = 40
const AVERAGES = 12
const FORMER = { system: 'urn:example:clinic', value: 'P-wrong' }

describe('what is brought over of a person who has measured for years', () => {
  let folder: string
  let database: Database
  let sources: SourceNumbers
  let parts: MovingParts
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'move-delivered-'))
    database = new Database(join(folder, 'gateway.db'))
    migrate(database)
    sources = new SourceNumbers(database)
    parts = {
      inbox: new Inbox(database, sources, idKey),
      registry: new RegistryRows(database, sources),
      periods: new Periods(database, sources),
      outbox: new OutboxRows(database, sources),
      delivered: new DeliveredRows(database),
    }
  })
  afterEach(() => {
    database.close()
    rmSync(folder, { recursive: true })
  })

  it('is found by reading each average once, however many sessions there are', () => {
    const records = Array.from({ length: SESSIONS }, (_, index) => sessionRecord({ id: `s-${index}` }))
    const carried = records.filter((_, index) => index % 3 === 0).map(({ uuid }) => uuid)
    let reads = 0
    vi.spyOn(parts.periods, 'averages').mockImplementation((id) => [
      {
        ...average(id),
        get bundle() {
          reads += 1
          return JSON.stringify({ carried })
        },
      },
    ])

    const versions = vi.spyOn(parts.inbox, 'versions')

    const moving = database.write(() => {
      const sourceNo = sources.assign('harbour-app')
      for (const record of records) parts.inbox.keep(record, sourceNo)
      for (let number = 0; number < AVERAGES; number += 1) {
        parts.periods.open({ ...period(`p-${number}`, 0), firstDay: `2026-03-${number + 10}` })
      }
      return moveDelivered(enrolment('HW-1'), sourceNo, FORMER, RECEIVED_MS, parts)
    })

    expect(moving).toBe(carried.length)
    expect(reads).toBe(AVERAGES)
    expect(versions, 'of sessions that were never changed').not.toHaveBeenCalled()
  })
})
