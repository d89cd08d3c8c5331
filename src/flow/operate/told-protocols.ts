import type { Protocol } from '../../core/clinical/protocol/protocol.ts'
import type { Catalogue } from '../ports/ports.ts'

/** A rule that periods can be averaged by, as people choose one. */
export interface ToldProtocol {
  readonly id: string
  readonly title: string
  /** What it averages: readings taken at home, or a recording of 24 hours. */
  readonly averages: 'home' | '24-hour'
  /** How far its source was read. */
  readonly evidence: Protocol['evidence']
  readonly citation: Protocol['citation']
}

/** Every protocol and rule for 24-hour recordings that is loaded, a clinic's own included, each kind by its id. */
export function toldProtocols({
  protocols,
  recordingRules,
}: Pick<Catalogue, 'protocols' | 'recordingRules'>): readonly ToldProtocol[] {
  return [
    ...[...protocols.values()].map((one) => told(one, 'home')),
    ...[...recordingRules.values()].map((one) => told(one, '24-hour')),
  ].sort((a, b) => (a.averages === b.averages ? (a.id < b.id ? -1 : 1) : a.averages === 'home' ? -1 : 1))
}

function told(
  { id, title, evidence, citation }: Pick<Protocol, 'id' | 'title' | 'evidence' | 'citation'>,
  averages: ToldProtocol['averages'],
): ToldProtocol {
  return { id, title, averages, evidence, citation }
}
