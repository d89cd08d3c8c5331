import { generateSessions } from '../../../samples/generator/generate-sessions.ts'
import { writeJson } from '../../../src/core/basics/write-json.ts'
import { convertText } from '../../../src/flow/check/convert-record.ts'
import { callsPerSecondInTurn, type Measured } from '../measure.ts'

const RECORDS = 512
const GOAL = 1.8

/**
 * Bytes in to validated Observation bytes out, against JSON.parse of the same bytes and JSON.stringify of the same
 * Observations.
 */
export function measureConversion(): Measured {
  const inputs = [...generateSessions({ seed: 7, count: RECORDS, subjects: 64 })].map((session) =>
    Buffer.from(JSON.stringify(session)),
  )
  const context = {
    source: 'bench-app',
    canonicalBase: 'https://home-bp-gateway.example/fhir',
    person: undefined,
    receivedMs: Date.parse('2026-11-24T12:00:00Z'),
  }
  const convert = (input: Buffer): string => {
    const converted = convertText(input.toString('utf8'), context)
    if (!converted.ok) throw new Error(`a generated session was refused: ${converted.issues[0].code}`)
    return writeJson(converted.value.observations)
  }
  const outputs = inputs.map((input) => JSON.parse(convert(input)))

  let written = 0
  let next = 0
  const ours = () => {
    written += convert(inputs[next++ % RECORDS] ?? Buffer.alloc(0)).length
  }
  let floorNext = 0
  const floor = () => {
    const place = floorNext++ % RECORDS
    JSON.parse((inputs[place] ?? Buffer.alloc(0)).toString('utf8'))
    written += JSON.stringify(outputs[place]).length
  }
  const [floorPerSecond, oursPerSecond] = callsPerSecondInTurn(floor, ours)
  if (written === 0) throw new Error('nothing was written')
  const times = floorPerSecond / oursPerSecond
  return {
    stage: 'convert',
    unit: 'sessions',
    floor: { what: 'JSON.parse(in) + JSON.stringify(out)', perSecond: floorPerSecond },
    ours: { what: 'read, check, convert, validate, write', perSecond: oursPerSecond },
    goal: `within ${GOAL} times the floor`,
    reached: times <= GOAL,
    also: {
      timesTheFloor: times,
      bytesIn: Math.round(inputs.reduce((sum, input) => sum + input.length, 0) / RECORDS),
      bytesOut: Math.round(outputs.reduce((sum, output) => sum + JSON.stringify(output).length, 0) / RECORDS),
    },
  }
}
