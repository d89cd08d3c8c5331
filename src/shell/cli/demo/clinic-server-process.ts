/**
 * The demo's clinic server as a process of its own, so that a gateway can be stopped at any moment while the clinic
 * keeps what it has:
 *
 *     node dist/shell/cli/demo/clinic-server-process.js --port 8104 --patients samples/people.json
 *
 * Prints one line of JSON, `{"baseUrl":"…"}`, when it listens, and stops on SIGTERM or SIGINT.
 */
import { readFile } from 'node:fs/promises'
import { parseArgs } from 'node:util'
import { z } from 'zod'
import { startClinicServer } from './clinic-server.ts'

const options = { port: { type: 'string', default: '0' }, patients: { type: 'string' } } as const
const { values } = parseArgs({ options })

/** The part of `samples/people.json` that a clinic knows of a person. */
const people = z.array(
  z.object({
    patient: z.object({ system: z.string(), value: z.string() }),
    name: z.object({ given: z.string(), family: z.string() }),
  }),
)

const known =
  values.patients === undefined ? [] : people.parse(JSON.parse(await readFile(values.patients, 'utf8')))
const patients = known.map(({ patient, name }) => ({ identifier: patient, name }))
const clinic = await startClinicServer({ port: z.coerce.number().int().parse(values.port), patients })

for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => clinic.close())
console.log(JSON.stringify({ baseUrl: clinic.baseUrl }))
