/** Records in other formats than ours over HTTP: received, refused with their place, corrected, rehearsed. */
import { readFileSync } from 'node:fs'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type Answer, ask, linesOf } from '../support/ask.ts'
import { held, type OpenDoor, openDoor } from '../support/open-door.ts'

const sample = (name: string) => readFileSync(`samples/mapped/${name}`, 'utf8')

let door: OpenDoor
beforeEach(async () => {
  door = await openDoor()
})
afterEach(() => door.close())

const send = (mapping: string, type: string, body: string | Uint8Array, query = ''): Promise<Answer> =>
  ask(door.url, `/sessions?source=harbour-app&mapping=${mapping}${query}`, {
    method: 'POST',
    headers: { 'Content-Type': type },
    body,
  })

const enrol = (subject: string) =>
  ask(door.url, `/enrolments/harbour-app/${subject}`, {
    method: 'PUT',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({
      patient: { system: 'https://lantern-bay.example/patient-number', value: `LB-${subject}` },
      zone: 'Europe/London',
      destination: 'clinic',
    }),
  })

const sessionsHeld = async () => (await door.ports.store.figures()).sessions

describe('records through a mapping', () => {
  it('come as lines, and each outcome names the lines it is about', async () => {
    const answer = await send('open-mhealth', 'application/x-ndjson', sample('open-mhealth.ndjson'))
    const lines = linesOf(answer)
    expect(lines.slice(0, -1)).toMatchObject([
      { lines: [1, 2, 3, 4], outcome: 'kept', id: '7d1c0a52-0001', version: 1 },
      { lines: [5], outcome: 'kept' },
      { lines: [6], outcome: 'kept', findings: [{ code: 'wrist-site' }] },
    ])
    expect(lines.at(-1)).toMatchObject({ summary: { received: 3, kept: 3, refused: 0 } })
    expect(await sessionsHeld()).toBe(3)
  })

  it('are the same when they come again, whatever came between', async () => {
    const lines = () =>
      send('open-mhealth', 'application/x-ndjson', sample('open-mhealth.ndjson')).then(linesOf)
    const [first] = await lines()
    const before = await held(door.ports.store)
    const again = await lines()
    expect(again[0]).toEqual({ ...first, outcome: 'same' })
    expect(again.at(-1)).toMatchObject({ summary: { received: 3, kept: 0, same: 3 } })
    expect(await held(door.ports.store)).toEqual(before)
  })

  it.each([
    ['hl7v2-oru', 'application/hl7-v2', 'hl7v2-readings.hl7'],
    ['fhir-r4', 'application/fhir+json', 'fhir-observations.json'],
  ])(
    'of %s in another encoding are refused for that, and not for what they are',
    async (mapping, type, name) => {
      const body = Buffer.from(sample(name).replaceAll('HW-1001', 'HW-é'), 'latin1')
      const answer = await send(mapping, type, body)
      expect(answer).toMatchObject({ status: 400, json: { code: 'NOT_IN_ENCODING' } })
      expect(await sessionsHeld()).toBe(0)
    },
  )

  it('are kept as they were sent beside the session they became', async () => {
    const sent = sample('open-mhealth.ndjson').split('\n')
    await send('open-mhealth', 'application/x-ndjson', sample('open-mhealth.ndjson'))
    const stored = await door.ports.store.session('harbour-app', '7d1c0a52-0001')
    expect(await door.ports.store.mappedFrom(stored?.seq ?? 0)).toEqual({
      mapping: 'open-mhealth',
      mappingSha256: door.ports.catalogue.mappings.get('open-mhealth')?.sha256,
      sent: `${sent.slice(0, 4).join('\n')}\n`,
    })
  })

  it('come as a document, answered as an array of records is', async () => {
    const bundle = await send('fhir-r4', 'application/fhir+json', sample('fhir-observations.json'))
    expect(bundle.status).toBe(201)
    expect(bundle.json).toMatchObject({
      results: [{ outcome: 'kept', paths: expect.arrayContaining([expect.stringContaining("$['entry']")]) }],
      summary: { received: 1, kept: 1 },
    })
    const message = await send(
      'hl7v2-oru',
      'application/hl7-v2',
      sample('hl7v2-readings.hl7').replace('HW-1001', 'HW-1009'),
    )
    expect(message.status).toBe(201)
    expect(message.json).toMatchObject({ summary: { received: 1, kept: 1 } })
  })

  it('of a diary need the person’s time zone, and flow when the enrolment has it', async () => {
    const diary = () => send('diary-one-row-per-reading', 'text/csv', sample('diary-one-row-per-reading.csv'))
    const before = linesOf(await diary())
    expect(before[0]).toMatchObject({
      outcome: 'refused',
      lines: [2, 3, 4],
      code: 'TIME_NEEDS_OFFSET',
      issues: expect.arrayContaining([
        expect.objectContaining({
          from: expect.stringContaining('Date'),
          mapping: expect.stringMatching(/^diary-one-row-per-reading\.json:\d+$/),
        }),
      ]),
    })
    expect(await sessionsHeld()).toBe(0)
    expect((await enrol('HW-1003')).status).toBe(200)
    const after = linesOf(await diary())
    expect(after.at(-1)).toMatchObject({ summary: { received: 7, kept: 7, refused: 0 } })
    expect(after[0]).toMatchObject({ lines: [2, 3, 4], outcome: 'kept', enrolled: true })
  })

  it('in a table: a row that cannot be read is refused with its line and column, and holds up no other', async () => {
    await enrol('HW-1003')
    const [header, ...rows] = sample('diary-one-row-per-reading.csv').trimEnd().split(/\r?\n/)
    const spoilt = rows.map((row, index) => (index === 3 ? row.replace('18,7', '18.7') : row))
    const answer = await send('diary-one-row-per-reading', 'text/csv', [header, ...spoilt].join('\r\n'))
    const lines = linesOf(answer)
    const refused = lines.filter(({ outcome }) => outcome === 'refused')
    expect(refused).toMatchObject([{ lines: [5], issues: [{ line: 5, from: 'Systolique' }] }])
    expect(JSON.stringify(refused)).not.toContain('18.7')
    expect(lines.at(-1)).toMatchObject({ summary: { kept: 7, refused: 1 } })
  })

  it('in a table whose dates show another order than declared are refused whole, and nothing is kept', async () => {
    await enrol('HW-1003')
    const text = sample('diary-one-row-per-reading.csv').replace('08.03.2026;06:46', '03.18.2026;06:46')
    const answer = await send('diary-one-row-per-reading', 'text/csv', text)
    expect(answer.status).toBe(422)
    expect(answer.json).toMatchObject({ code: 'DAY_ORDER', issues: [{ line: 21, from: 'Date, Heure' }] })
    expect(await sessionsHeld()).toBe(0)
  })

  it('under an id that other content has are refused, and correct it only when that is asked for', async () => {
    const first = sample('open-mhealth.ndjson').split('\n')[4] ?? ''
    const value = JSON.parse(first).body.systolic_blood_pressure.value
    const other = first.replace(`"value":${value}`, `"value":${value + 7}`)
    await send('open-mhealth', 'application/x-ndjson', first)
    const refused = linesOf(await send('open-mhealth', 'application/x-ndjson', other))
    expect(refused[0]).toMatchObject({ outcome: 'refused', code: 'SAME_ID_OTHER_CONTENT' })
    const corrected = linesOf(await send('open-mhealth', 'application/x-ndjson', other, '&changed=corrects'))
    expect(corrected[0]).toMatchObject({ outcome: 'corrected', version: 2 })
    expect(corrected.at(-1)).toMatchObject({ summary: { received: 1, corrected: 1, kept: 0 } })
    const same = linesOf(await send('open-mhealth', 'application/x-ndjson', other, '&changed=corrects'))
    expect(same[0]).toMatchObject({ outcome: 'same', version: 2 })
  })

  it('are refused by what is wrong with the request: mapping, media type, choice', async () => {
    expect((await send('no-such', 'application/json', '{}')).json).toMatchObject({
      status: 404,
      code: 'UNKNOWN_MAPPING',
      issues: [{ at: 'query.mapping', expected: expect.stringContaining('open-mhealth') }],
    })
    expect((await send('fhir-r4', 'text/csv', 'a')).status).toBe(415)
    expect((await send('diary-one-row-per-reading', 'text/csv; charset=windows-1252', 'a')).status).toBe(415)
    expect((await send('open-mhealth', 'application/json', '{}', '&changed=perhaps')).json).toMatchObject({
      status: 400,
      code: 'NOT_A_CHOICE',
    })
    expect((await send('open-mhealth', 'application/json', '{')).json).toMatchObject({
      status: 422,
      code: 'NOT_JSON',
    })
    expect((await send('open-mhealth', 'application/json', '[]')).status).toBe(422)
    expect(await sessionsHeld()).toBe(0)
  })
})

describe('mappings', () => {
  it('are listed with their formats and media types', async () => {
    const answer = await ask(door.url, '/mappings')
    expect(answer.json).toMatchObject({
      items: expect.arrayContaining([
        expect.objectContaining({
          name: 'fhir-r4',
          format: 'fhir',
          mediaTypes: expect.arrayContaining(['application/fhir+json']),
        }),
        expect.objectContaining({
          name: 'diary-three-pairs-of-columns',
          format: 'csv',
          mediaTypes: ['text/csv'],
        }),
      ]),
    })
  })

  const rehearse = (mapping: string, type: string, body: string) =>
    ask(door.url, `/mappings/${mapping}/rehearse?source=harbour-app`, {
      method: 'POST',
      headers: { 'Content-Type': type },
      body,
    })

  it('are rehearsed field by field, and nothing is kept', async () => {
    const before = await held(door.ports.store)
    const answer = await rehearse('open-mhealth', 'application/x-ndjson', sample('open-mhealth.ndjson'))
    expect(answer.status).toBe(200)
    expect(answer.json).toMatchObject({
      mapping: { name: 'open-mhealth' },
      rehearsals: [
        {
          verdict: 'passes',
          record: { id: '7d1c0a52-0001', readings: [{ systolic: 131, pulse: 67 }, { systolic: 128 }] },
          fields: expect.arrayContaining([
            expect.objectContaining({
              place: 'readings[0].pulse',
              how: 'as-is',
              from: [{ line: 2, path: "$['body']['heart_rate']['value']" }],
            }),
          ]),
          ignored: expect.arrayContaining([{ line: 1, path: "$['header']['creation_date_time']" }]),
          observations: 4,
        },
        { verdict: 'passes' },
        { verdict: 'passes', findings: [{ code: 'wrist-site' }] },
      ],
    })
    expect(await held(door.ports.store)).toEqual(before)
  })

  it('tell in a rehearsal what would be refused, at the source and by the rule', async () => {
    const spoilt =
      sample('open-mhealth.ndjson').split('\n')[0]?.replace('"unit":"mmHg"', '"unit":"mmH"') ?? ''
    const answer = await rehearse('open-mhealth', 'application/json', spoilt)
    expect(answer.json).toMatchObject({
      rehearsals: [
        {
          verdict: 'refused',
          issues: [{ from: expect.stringContaining('unit'), mapping: expect.any(String) }],
        },
      ],
    })
    const table = await rehearse('diary-one-row-per-reading', 'text/csv', 'Personne,Date\nHW-1003,1')
    expect(table.json).toMatchObject({
      rehearsals: [
        { verdict: 'refused', issues: [{ code: 'NOT_CSV', expected: expect.stringContaining(';') }] },
      ],
    })
  })

  it('that do not exist are not rehearsed', async () => {
    expect((await rehearse('no-such', 'application/json', '{}')).status).toBe(404)
  })
})
