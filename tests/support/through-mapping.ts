import { MappedIntake, type MappedIntakeOptions } from '../../src/flow/intake/mapped-intake.ts'
import { type Outcome, receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { documentArrivals } from '../../src/shell/intake/mapped-arrivals.ts'
import { type OpenFlows, SOURCE } from './open-flows.ts'

/** Receives a document through a mapping that ships, as the doors do. */
export function receiveDocument(
  { ports }: Pick<OpenFlows, 'ports'>,
  mappingName: string,
  text: string,
  options: MappedIntakeOptions = {},
): Promise<readonly Outcome[]> {
  const arrivals = [...documentArrivals(text, mappingOf(ports, mappingName), options)]
  return receiveSessions(
    arrivals.map(({ incoming }) => incoming),
    { source: SOURCE },
    ports,
  )
}

/** The same for values, each on its own line. */
export function receiveValues(
  { ports }: Pick<OpenFlows, 'ports'>,
  mappingName: string,
  values: readonly unknown[],
  options: MappedIntakeOptions = {},
): Promise<readonly Outcome[]> {
  const intake = new MappedIntake(mappingOf(ports, mappingName), options)
  const arrivals = values.flatMap((value, at) =>
    intake.take({ value, text: JSON.stringify(value), line: at + 1 }),
  )
  return receiveSessions(
    [...arrivals, ...intake.end()].map(({ incoming }) => incoming),
    { source: SOURCE },
    ports,
  )
}

function mappingOf({ catalogue }: OpenFlows['ports'], name: string) {
  const mapping = catalogue.mappings.get(name)
  if (mapping === undefined) throw new Error(`no mapping ${name} is loaded`)
  return mapping
}
