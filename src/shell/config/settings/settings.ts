import { validate as isCron } from 'node-cron'
import { z } from 'zod'
import { DEFAULT_CANONICAL_BASE } from '../../../core/fhir/canonical-base.ts'
import type { Destination } from '../../../core/registry/destination.ts'
import { SOURCE_NAME } from '../../../core/registry/source.ts'
import { attentionSettings } from './attention-settings.ts'
import { destinationSettings } from './destination-settings.ts'
import { webAddress } from './written-values.ts'

/**
 * The one schema of everything an operator can set. Every key has a default or is optional, so an empty file is a
 * working gateway on this machine; unknown keys are refused. Read by `read-settings.ts`.
 */

const name = z.string().regex(SOURCE_NAME, 'lower-case letters, digits and hyphens, at most 63')

const cron = z.string().refine(isCron, 'a cron expression of five fields, or six with seconds first')

const listen = z.strictObject({
  host: z.string().min(1).default('127.0.0.1'),
  /** 0 lets the system choose. */
  port: z.int().min(0).max(65_535).default(8080),
  /** Reverse proxies in front whose X-Forwarded-For is believed; 0 believes none. */
  trustedProxies: z.int().min(0).max(10).default(0),
})

const source = z.strictObject({ name, title: z.string().min(1).max(200) })

const schedule = z.strictObject({
  /** Cron expressions are read in UTC, where no hour is ever skipped or repeated. */
  closePeriods: cron.default('*/5 * * * *'),
  deliver: cron.default('*/10 * * * * *'),
  /** How soon a late, corrected or withdrawn session opens its period again, and a call for attention is raised. */
  followArrivals: cron.default('*/15 * * * * *'),
  /** How often what clinics said is looked through for what is older than `retention` keeps. */
  forgetAnswers: cron.default('17 3 * * *'),
  /** Hours after a period's last local day in which late uploads are awaited. Common practice; no source fixes it. */
  graceHours: z.number().min(0).max(336).default(12),
})

const delivery = z
  .strictObject({
    /** Some four days of waits on average: a clinic whose server is down over a long weekend. Common practice. */
    maxAttempts: z.int().min(1).max(1000).default(200),
    firstRetryMs: z.int().min(100).max(3_600_000).default(5_000),
    longestRetryMs: z.int().min(1_000).max(86_400_000).default(3_600_000),
    /** Longest wait for one answer of the clinic's server. */
    timeoutMs: z.int().min(100).max(600_000).default(30_000),
    /** How long a claimed entry is left to its process before another may take it: at least four time-outs. */
    leaseMs: z.int().min(1_000).max(3_600_000).default(120_000),
    /** Entries under way at the same time. */
    inFlight: z.int().min(1).max(256).default(8),
    /**
     * How long an entry is left alone after an outcome nobody heard. Absent: 30 s, or half the lease where that is less.
     * Common practice; no source fixes it.
     */
    quietMs: z.exactOptional(z.int().min(0).max(3_600_000)),
    /** The longest wait granted to a Retry-After. */
    longestRetryAfterMs: z.int().min(1_000).max(604_800_000).default(86_400_000),
    /** How long what a server says it can do is believed. */
    routeMs: z.int().min(1_000).max(2_592_000_000).default(86_400_000),
    /** Longest wait for a connection, TLS included. Absent: 10 s, or `timeoutMs` where that is less. */
    connectTimeoutMs: z.exactOptional(z.int().min(100).max(600_000)),
    /** Bytes of an answer that are read, after decompression. */
    answerBytes: z.int().min(1_024).max(67_108_864).default(8_388_608),
    /** Failures in a row after which a destination is left alone for a while. */
    failuresBeforeRest: z.int().min(1).max(1_000).default(5),
    restMs: z.int().min(100).max(3_600_000).default(30_000),
  })
  .transform((written) => ({
    ...written,
    quietMs: written.quietMs ?? Math.min(30_000, written.leaseMs / 2),
    connectTimeoutMs: written.connectTimeoutMs ?? Math.min(10_000, written.timeoutMs),
  }))

const retention = z.strictObject({
  /**
   * Days for which what a clinic's server said about a delivery is kept. The delivery itself stays: it keeps things from
   * being sent twice.
   */
  clinicAnswersDays: z.int().min(1).max(3_650).default(90),
})

const limits = z.strictObject({
  /** A request body that is read whole, after decompression. */
  bodyBytes: z.int().min(1_024).max(67_108_864).default(1_048_576),
  /** A resource to validate, after decompression. Room for a bundle of 10,000 readings. */
  resourceBytes: z.int().min(1_024).max(67_108_864).default(16_777_216),
  /** One line of an NDJSON stream. */
  lineBytes: z.int().min(1_024).max(1_048_576).default(65_536),
  /** A CSV file, after decompression; it is put aside on the disk while it is read. */
  fileBytes: z.int().min(1_024).max(4_294_967_296).default(268_435_456),
  recordsPerArray: z.int().min(1).max(10_000).default(1_000),
  linesPerStream: z.int().min(1).default(1_000_000),
  /** Per client address. Absent: none on loopback, `REQUESTS_PER_MINUTE_IN_THE_OPEN` elsewhere. */
  requestsPerMinute: z.int().min(1).optional(),
  /** Longest time a client may take to send one request, a stream included. */
  requestSeconds: z.int().min(1).max(86_400).default(600),
})

type Delivery = z.output<typeof delivery>

/** What must hold between the times of a delivery. */
const DELIVERY_RULES: readonly {
  readonly key: keyof Delivery
  readonly holds: (written: Delivery) => boolean
  readonly message: string
}[] = [
  {
    key: 'longestRetryMs',
    holds: ({ firstRetryMs, longestRetryMs }) => longestRetryMs >= firstRetryMs,
    message: 'at least delivery.firstRetryMs',
  },
  {
    key: 'leaseMs',
    holds: ({ leaseMs, timeoutMs }) => leaseMs >= 4 * timeoutMs,
    message:
      'at least four times delivery.timeoutMs: a claim is prolonged at half of it, and one request may take two time-outs',
  },
  {
    key: 'leaseMs',
    holds: ({ leaseMs, quietMs }) => leaseMs >= 2 * quietMs,
    message:
      'at least twice delivery.quietMs, so that what a process asked for before it died is left alone as long',
  },
  {
    key: 'connectTimeoutMs',
    holds: ({ connectTimeoutMs, timeoutMs }) => connectTimeoutMs <= timeoutMs,
    message: 'at most delivery.timeoutMs, of which it is a part',
  },
]

export const settingsDocument = z
  .strictObject({
    $schema: z.string().optional(),
    listen: listen.prefault({}),
    store: z.strictObject({ file: z.string().min(1).default('gateway.db') }).prefault({}),
    /** Base of our own canonicals and identifier systems. Choose it once: ids in the clinic's record rest on it. */
    canonicalBase: webAddress.default(DEFAULT_CANONICAL_BASE),
    /** `off` serves this machine only; `keys` wants an API key with each request. */
    access: z.enum(['off', 'keys']).default('off'),
    sources: z.array(source).default([]),
    destinations: z.array(destinationSettings).default([]),
    /** The clinic's own documents, added to the published ones. */
    protocolsFolder: z.string().min(1).optional(),
    thresholdSetsFolder: z.string().min(1).optional(),
    recordingRulesFolder: z.string().min(1).optional(),
    /**
     * Mappings of the deployment's own, with their code tables in `concept-maps` and record schemas in `record-schemas`.
     */
    mappingsFolder: z.string().min(1).optional(),
    /**
     * StructureDefinition, ValueSet and CodeSystem files: what `$validate` holds resources to beside the profiles that
     * ship.
     */
    profilesFolder: z.string().min(1).optional(),
    attention: attentionSettings.prefault({}),
    schedule: schedule.prefault({}),
    delivery: delivery.prefault({}),
    retention: retention.prefault({}),
    /** Private keys of ours, for destinations with access `smart-backend`; made and changed by the command `keys`. */
    signingKeysFolder: z.string().min(1).default('signing-keys'),
    limits: limits.prefault({}),
    log: z
      .strictObject({ level: z.enum(['silent', 'error', 'warn', 'info', 'debug']).default('info') })
      .prefault({}),
  })
  .check((context) => {
    const written = context.value.delivery
    for (const { key, holds, message } of DELIVERY_RULES) {
      if (holds(written)) continue
      context.issues.push({ code: 'custom', input: written[key], path: ['delivery', key], message })
    }
    for (const key of ['sources', 'destinations'] as const) {
      const names = context.value[key].map((one) => one.name)
      const twice = names.findIndex((one, index) => names.indexOf(one) !== index)
      if (twice === -1) continue
      context.issues.push({
        code: 'custom',
        input: names,
        path: [key, twice, 'name'],
        message: 'a name that no other entry has',
      })
    }
  })

export type SettingsDocument = z.output<typeof settingsDocument>

/** Settings ready for use: defaults filled in, secrets resolved. Never print it; see `shown-settings.ts`. */
export interface Settings extends Omit<SettingsDocument, 'destinations' | '$schema'> {
  readonly destinations: readonly Destination[]
}

/** Requests a minute from one address when the service listens beyond loopback and no other figure is set. */
export const REQUESTS_PER_MINUTE_IN_THE_OPEN = 6_000
