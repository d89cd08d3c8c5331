import type { Issue } from '../../../core/basics/issue.ts'
import type {
  Destination,
  DestinationAccess,
  FhirDestination,
  MessageDestination,
  Recipient,
} from '../../../core/registry/destination.ts'
import type { WrittenDestination, WrittenTls } from '../settings/destination-settings.ts'
import type { WrittenSecret } from '../settings/written-values.ts'
import { readTlsFiles } from './read-tls-files.ts'
import { type Environment, secretText } from './secrets.ts'

type Written<Kind extends WrittenDestination['kind']> = Extract<WrittenDestination, { readonly kind: Kind }>

/**
 * A destination ready for use: the text of each secret in place of the variable that names it, and PEM files read.
 *
 * @param at its place in the settings: `destinations[0]`.
 * @param report told of everything that is missing or is not what it should be.
 */
export function resolveDestination(
  written: WrittenDestination,
  at: string,
  environment: Environment,
  report: (issue: Issue) => void,
): Destination {
  const secret: SecretAt = (one, place) => secretText(one, `${at}.${place}`, environment, report)
  const tlsOf = (tls: WrittenTls) => {
    const passphrase = tls.passphrase === undefined ? undefined : secret(tls.passphrase, 'tls.passphrase')
    return readTlsFiles(tls, `${at}.tls`, passphrase, report)
  }
  return written.kind === 'fhir'
    ? fhirDestination(written, secret, tlsOf)
    : messageDestination(written, tlsOf)
}

type SecretAt = (secret: WrittenSecret, place: string) => string
type TlsOf = (tls: WrittenTls) => FhirDestination['tls']

function fhirDestination(written: Written<'fhir'>, secret: SecretAt, tlsOf: TlsOf): FhirDestination {
  const { kind, baseUrl, patient, rung, cannotUpdate } = written
  return {
    kind,
    ...recipient(written),
    baseUrl,
    access: access(written.access, secret),
    tls: tlsOf(written.tls),
    patient,
    ...(rung === undefined ? {} : { rung }),
    cannotUpdate,
  }
}

function messageDestination(written: Written<'hl7v2'>, tlsOf: TlsOf): MessageDestination {
  const { kind, host, port, tls, sender, receiver, authority, version, processing, settledBy } = written
  return {
    kind,
    ...recipient(written),
    host,
    port,
    ...(tls === undefined ? {} : { tls: tlsOf(tls) }),
    sender,
    receiver,
    authority,
    version,
    processing,
    settledBy,
  }
}

function recipient(written: WrittenDestination): Recipient {
  const { name, readings, positionAs, snomed, decimals, attention, findings, thresholdSets } = written
  const { protocol, claims, tags, patientSupplied, identifiers } = written
  return {
    name,
    readings,
    positionAs,
    snomed,
    decimals,
    attention,
    findings,
    thresholdSets,
    ...(protocol === undefined ? {} : { protocol }),
    adornment: { claims, tags, patientSupplied, identifiers },
  }
}

function access(written: Written<'fhir'>['access'], secret: SecretAt): DestinationAccess {
  switch (written.kind) {
    case 'none':
    case 'smart-backend':
      return written
    case 'bearer':
      return { kind: 'bearer', token: secret(written.token, 'access.token') }
    case 'basic':
      return {
        kind: 'basic',
        user: written.user,
        password: secret(written.password, 'access.password'),
      }
  }
}
