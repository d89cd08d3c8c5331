import type { Issue } from '../../../core/basics/issue.ts'
import type { Destination, FhirDestination } from '../../../core/registry/destination.ts'
import { settingsProblem } from '../settings-refused.ts'
import { credentialIssues } from './credential-issues.ts'
import { isLoopback } from './refuse-unsafe-listening.ts'

/**
 * What in a destination's settings cannot be meant: credentials that all could read or none could send, options that
 * nothing comes of.
 *
 * @param at its place in the settings: `destinations[0]`.
 */
export function contradictionsOf(destination: Destination, at: string): readonly Issue[] {
  const own = destination.kind === 'fhir' ? ofServer(destination, at) : ofReceiver(destination, at)
  return [...own, ...ofReadings(destination, at)]
}

/** Whether what is sent to an address could be read by the way: plain http to another machine. */
export function isInTheClear(address: string): boolean {
  const { protocol, hostname } = new URL(address)
  return protocol === 'http:' && !isLoopback(hostname)
}

function ofServer({ baseUrl, access, tls, patient }: FhirDestination, at: string): readonly Issue[] {
  const issues: Issue[] = [...credentialIssues(access, `${at}.access`)]
  if (access.kind !== 'none' && isInTheClear(baseUrl)) {
    issues.push(
      settingsProblem(
        `${at}.baseUrl`,
        'an https address, because credentials are sent to it',
        'Use https, or remove the access.',
      ),
    )
  }
  if (baseUrl.startsWith('http:') && Object.keys(tls).length > 0) {
    issues.push(
      settingsProblem(
        `${at}.tls`,
        'none of it with an http address, which uses none',
        'Use https, or remove it.',
      ),
    )
  }
  if (access.kind === 'smart-backend') issues.push(...ofTokens(access, `${at}.access`))
  if (patient.create && patient.by === 'identifier-only') {
    issues.push(
      settingsProblem(
        `${at}.patient.create`,
        'false, where the patient is never looked for',
        'Choose another way in patient.by, or leave patients to the clinic.',
      ),
    )
  }
  return issues
}

function ofTokens(
  { tokenUrl, tokenHosts }: Extract<FhirDestination['access'], { readonly kind: 'smart-backend' }>,
  at: string,
): readonly Issue[] {
  const issues: Issue[] = []
  if (tokenUrl !== undefined && isInTheClear(tokenUrl)) {
    issues.push(
      settingsProblem(`${at}.tokenUrl`, 'an https address, because a token is sent from it', 'Use https.'),
    )
  }
  tokenHosts.forEach((host, index) => {
    if (isHost(host)) return
    issues.push(
      settingsProblem(
        `${at}.tokenHosts[${index}]`,
        'a host, with its port where it is not the usual one',
        'Write it as login.example or login.example:8443.',
      ),
    )
  })
  return issues
}

function isHost(text: string): boolean {
  if (!URL.canParse(`https://${text}`)) return false
  const { host, pathname, username } = new URL(`https://${text}`)
  return username === '' && pathname === '/' && (host === text.toLowerCase() || `${host}:443` === text)
}

/** A message has no place for what a resource carries in its `meta`. */
function ofReceiver({ adornment }: Destination, at: string): readonly Issue[] {
  const { claims, tags, patientSupplied, identifiers } = adornment
  const asked = { claims: claims.length, tags: tags.length, identifiers: identifiers.length, patientSupplied }
  return Object.entries(asked).flatMap(([key, value]) =>
    value === 0 || value === false
      ? []
      : [settingsProblem(`${at}.${key}`, 'nothing: an HL7 v2 message has no place for it', 'Remove it.')],
  )
}

/** The profiles of R4’s vital signs are those of single readings: no average, and no call, meets one. */
function ofReadings({ readings, adornment }: Destination, at: string): readonly Issue[] {
  const position = adornment.claims.indexOf('vital-signs')
  if (readings !== 'never' || position === -1) return []
  return [
    settingsProblem(
      `${at}.claims[${position}]`,
      'no vital-signs where no readings are sent: only they meet those profiles',
      'Remove it, or have readings sent.',
    ),
  ]
}
