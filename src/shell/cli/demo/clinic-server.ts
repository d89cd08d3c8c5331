import { once } from 'node:events'
import { createServer } from 'node:http'
import { SettingsRefused } from '../../../core/basics/gateway-error.ts'
import type { RegisteredPatient } from './registered-patient.ts'

export interface ClinicServerOptions {
  /** Absent or 0: a free port. */
  readonly port?: number
  readonly host?: string
  /** The people the clinic knows from the start. */
  readonly patients: readonly RegisteredPatient[]
}

export interface ClinicServer {
  /** Base URL of the FHIR server, without a trailing slash. */
  readonly baseUrl: string
  /** Resources held, by type. */
  counts(): Promise<Record<string, number>>
  close(): Promise<void>
}

/**
 * Starts a clinic's FHIR server in memory, for the demo and the tests. It listens on loopback unless told otherwise,
 * and asks for no credentials: never let it hold a real person.
 *
 * @throws SettingsRefused when the FHIR server library, a development dependency, is not installed.
 * @throws the listening error, such as EADDRINUSE.
 */
export async function startClinicServer(options: ClinicServerOptions): Promise<ClinicServer> {
  const { application, counts } = await (await clinicApplicationModule()).clinicApplication(options.patients)
  const { host = '127.0.0.1', port = 0 } = options
  const server = createServer(application)
  server.listen(port, host)
  await once(server, 'listening')
  const address = server.address()
  const boundPort = typeof address === 'object' && address !== null ? address.port : port
  return {
    baseUrl: `http://${host.includes(':') ? `[${host}]` : host}:${boundPort}/fhir`,
    counts,
    async close() {
      const closed = once(server, 'close')
      server.close()
      server.closeAllConnections()
      await closed
    },
  }
}

async function clinicApplicationModule() {
  try {
    return await import('./clinic-application.ts')
  } catch (thrown) {
    const missing = thrown instanceof Error && 'code' in thrown && thrown.code === 'ERR_MODULE_NOT_FOUND'
    if (!missing) throw thrown
    throw new SettingsRefused(
      'The demo’s clinic server needs the development dependencies: run npm install without --omit=dev.',
      { cause: thrown },
    )
  }
}
