import { z } from 'zod'
import { RUNGS } from '../../../core/registry/rung.ts'
import { SOURCE_NAME } from '../../../core/registry/source.ts'
import { findingSettings } from './finding-settings.ts'
import { tokenAddress, webAddress, writtenSecret } from './written-values.ts'

/** What an operator writes about a clinic's way in, and what it is to be sent. Read by `resolve-destination.ts`. */

const coding = z.strictObject({
  system: z.url(),
  code: z.string().min(1),
  display: z.exactOptional(z.string().min(1)),
})

const identifier = z.strictObject({ system: z.url(), value: z.string().min(1) })

/** PEM files, by path. */
const tls = z.strictObject({
  /** Certificate authorities that are believed in place of the system's. */
  authoritiesFile: z.exactOptional(z.string().min(1)),
  /** Our certificate and its key, for mutual TLS. */
  certificateFile: z.exactOptional(z.string().min(1)),
  keyFile: z.exactOptional(z.string().min(1)),
  passphrase: z.exactOptional(writtenSecret),
})

export type WrittenTls = z.output<typeof tls>

const access = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('none') }),
  z.strictObject({ kind: z.literal('bearer'), token: writtenSecret }),
  z.strictObject({ kind: z.literal('basic'), user: z.string().min(1), password: writtenSecret }),
  z.strictObject({
    kind: z.literal('smart-backend'),
    clientId: z.string().min(1),
    scopes: z
      .array(z.string().regex(/^[!#-[\]-~]+$/, 'a scope without blanks'))
      .min(1)
      .default(['system/Observation.cus', 'system/Device.cs', 'system/Provenance.cs', 'system/Patient.rs']),
    algorithm: z.enum(['RS384', 'ES384']).default('ES384'),
    /** Absent: discovered at the server's `.well-known/smart-configuration`. */
    tokenUrl: z.exactOptional(tokenAddress),
    /** Hosts beside the server's own that may be asked for a token. */
    tokenHosts: z.array(z.string().min(1)).default([]),
  }),
])

const recipient = {
  name: z.string().regex(SOURCE_NAME, 'lower-case letters, digits and hyphens, at most 63'),
  readings: z.enum(['at-once', 'with-average', 'never']).default('at-once'),
  positionAs: z.enum(['component-and-extension', 'extension']).default('component-and-extension'),
  snomed: z.boolean().default(false),
  decimals: z.literal([0, 1]).default(1),
  /** Whether what asks for attention is sent ahead of everything else, whatever `readings` says. */
  attention: z.enum(['at-once', 'with-average']).default('at-once'),
  /** By finding code. Nothing is excluded unless it is named here: published protocols average all readings. */
  findings: findingSettings.default({}),
  /** Ids of threshold sets to label averages with, beside those of the protocol. */
  thresholdSets: z.array(z.string()).default([]),
  /** Id of the protocol for periods opened without naming one. None is chosen for a clinic. */
  protocol: z.exactOptional(z.string()),
  /** Families of published profiles to claim in `meta.profile`. */
  claims: z.array(z.enum(['us-core', 'vital-signs', 'own'])).default([]),
  tags: z.array(coding).default([]),
  patientSupplied: z.boolean().default(false),
  identifiers: z.array(identifier).default([]),
}

const fhirDestination = z.strictObject({
  kind: z.literal('fhir'),
  ...recipient,
  baseUrl: webAddress,
  access: access.default({ kind: 'none' }),
  tls: tls.prefault({}),
  patient: z
    .strictObject({
      by: z.enum(['conditional-reference', 'search', 'identifier-only']).default('conditional-reference'),
      create: z.boolean().default(false),
    })
    .prefault({}),
  /** Stands over what the server says it can do. */
  rung: z.exactOptional(z.enum(RUNGS)),
  cannotUpdate: z.enum(['park', 'send-as-new']).default('park'),
})

const applicationAndFacility = z.strictObject({
  application: z.string().min(1).max(180),
  facility: z.string().min(1).max(180),
})

const messageDestination = z.strictObject({
  kind: z.literal('hl7v2'),
  ...recipient,
  host: z.string().min(1),
  port: z.int().min(1).max(65_535),
  tls: z.exactOptional(tls),
  sender: applicationAndFacility.default({ application: 'BPGW', facility: 'HOMEBP' }),
  receiver: applicationAndFacility,
  authority: z.string().min(1).max(20),
  version: z.enum(['2.5.1', '2.6']).default('2.5.1'),
  processing: z.enum(['P', 'T', 'D']).default('P'),
  settledBy: z.enum(['commit', 'application']).default('application'),
})

/** `kind` is `fhir` where it is not written. */
export const destinationSettings = z.preprocess(
  (written) =>
    typeof written === 'object' && written !== null && !Array.isArray(written) && !('kind' in written)
      ? { kind: 'fhir', ...written }
      : written,
  z.discriminatedUnion('kind', [fhirDestination, messageDestination]),
)

export type WrittenDestination = z.output<typeof destinationSettings>
