import { transactionVerdict } from '../../src/core/exchange/answered/transaction-verdict.ts'
import type { WriteVerdict } from '../../src/core/exchange/answered/write-verdict.ts'
import type { FhirDestination } from '../../src/core/registry/destination.ts'
import type { ClinicServers } from '../../src/flow/ports/ports.ts'
import { exampleSettings } from './example-settings.ts'

/** What a posted transaction came to: its verdict, with outcomes counted. */
export type Posting =
  | {
      readonly kind: 'done'
      readonly created: number
      readonly alreadyThere: number
      readonly updated: number
    }
  | Exclude<WriteVerdict, { readonly kind: 'done' }>

/** Posts a transaction of conditional creates through the door out. */
export async function postToClinic(
  servers: ClinicServers,
  destination: FhirDestination,
  bundle: { readonly entry?: readonly unknown[] | undefined },
): Promise<Posting> {
  const answer = await servers.ask(destination, {
    method: 'POST',
    path: '',
    body: JSON.stringify(bundle),
    prefer: 'minimal',
  })
  const verdict = transactionVerdict(
    answer,
    (bundle.entry ?? []).map(() => 'create'),
  )
  if (verdict.kind !== 'done') return verdict
  const count = { created: 0, alreadyThere: 0, updated: 0 }
  for (const { what } of verdict.outcomes) count[what === 'already-there' ? 'alreadyThere' : what] += 1
  return { kind: 'done', ...count }
}

/** A destination as a settings file with these keys gives it. */
export function exampleDestination(written: Readonly<Record<string, unknown>>): FhirDestination {
  const [destination] = exampleSettings({ destinations: [{ name: 'clinic', ...written }] }).destinations
  if (destination?.kind !== 'fhir') throw new Error('the example destination is no FHIR server')
  return destination
}
