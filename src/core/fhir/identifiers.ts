import { uuidV5 } from '../basics/uuid-v5.ts'
import type { MonitorDevice } from '../clinical/session.ts'

/**
 * Namespace of every id this gateway makes. Random once, and fixed for ever: a new one would make every resource a
 * stranger to the clinic that already holds it. Source: RFC 9562 section 5.5.
 */
export const NAMESPACE = '95a22caf-b285-4c36-8f50-f1f37d6c65ea'

/**
 * Each name opens with its kind and puts the part that may hold any character last, so no two different things
 * share a name. Source names hold no slash (see `SOURCE_NAME`), nor do protocol ids and days.
 */
export function sessionUuid(source: string, id: string): string {
  return uuidV5(NAMESPACE, `session/${source}/${id}`)
}

/** @param ordinal 1-based place of the reading in its session. */
export function readingUuid(session: string, ordinal: number): string {
  return uuidV5(NAMESPACE, `reading/${session}/${ordinal}`)
}

export function pulseUuid(session: string, ordinal: number): string {
  return uuidV5(NAMESPACE, `pulse/${session}/${ordinal}`)
}

export function monitorStatusUuid(session: string, ordinal: number): string {
  return uuidV5(NAMESPACE, `monitor-status/${session}/${ordinal}`)
}

/**
 * Opening the same period twice is the same period.
 *
 * @param nth 2 for the one that is opened after the first was withdrawn, and so on.
 */
export function periodUuid(
  source: string,
  subject: string,
  protocol: string,
  firstDay: string,
  nth = 1,
): string {
  const name = `${source}/${protocol}/${firstDay}/${subject}`
  return uuidV5(NAMESPACE, nth === 1 ? `period/${name}` : `period-again/${nth}/${name}`)
}

export function averageUuid(period: string): string {
  return uuidV5(NAMESPACE, `average/${period}`)
}

/** @param span which mean of the 24-hour recording: `24-hours`, `day` or `night`. */
export function recordingUuid(period: string, span: string): string {
  return uuidV5(NAMESPACE, `recording/${period}/${span}`)
}

/** @param session UUID of the session the call is about. @param code what it calls attention to. */
export function attentionUuid(session: string, code: string): string {
  return uuidV5(NAMESPACE, `attention/${session}/${code}`)
}

/**
 * @param about UUID of the session, period or call whose resources it explains.
 * @param revision of the average, or version of the session; each change has its own. A clinic already holds the first.
 */
export function provenanceUuid(about: string, revision = 1): string {
  return uuidV5(NAMESPACE, revision === 1 ? `provenance/${about}` : `provenance/${about}/${revision}`)
}

/**
 * The monitor. With manufacturer and serial it is that one device, whoever uses it; without, it is "the monitor of
 * this model that this subject uses", because two people's monitors of a model are not one device.
 */
export function deviceUuid(source: string, subject: string, device: MonitorDevice): string {
  const { manufacturer, model, serial, kind } = device
  const name =
    manufacturer !== undefined && serial !== undefined
      ? [manufacturer, model ?? null, serial]
      : [source, subject, manufacturer ?? null, model ?? null, serial ?? null, kind ?? null]
  return uuidV5(NAMESPACE, `device/${JSON.stringify(name)}`)
}
