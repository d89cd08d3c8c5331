/** What stands in the way of a delivery: what it is, and what to do. Codes of `ERROR_CODES`. */
export const DELIVERY_PROBLEMS = {
  CLINIC_UNREACHABLE: ['The clinic’s server did not answer.', 'None needed: the entry is tried again.'],
  CLINIC_RESTING: [
    'The clinic’s server failed one request after the other, and is left alone for a while.',
    'None needed: the entry is tried again.',
  ],
  CLINIC_BUSY: ['The clinic’s server said not now.', 'None needed: the entry is tried again.'],
  CLINIC_FAILED: [
    'The clinic’s server failed while it answered; it may or may not have kept the entry.',
    'None needed: the entry is tried again, and what is there already is not made twice.',
  ],
  MONITOR_IN_DOUBT: [
    'Another delivery that brings the same monitor went unheard; this one waits until it is known whether the clinic has it.',
    'None needed: the entry is tried again.',
  ],
  PATIENT_IN_DOUBT: [
    'Another delivery of the same patient went unheard; this one waits until it can be seen what the clinic has of it.',
    'None needed: the entry is tried again.',
  ],
  CLINIC_DUPLICATES: [
    'The clinic’s server holds several resources under one of the entry’s identifiers.',
    'Have the clinic remove the extra ones, then retry. Where there are none, its server passes over what conditions ask for: name the rung search-first for the destination, then retry.',
  ],
  CLINIC_REFUSED: [
    'The clinic’s server will not take the entry as it is.',
    'Read the delivery, mend, and retry it.',
  ],
  CLINIC_LOGIN: [
    'The clinic’s server refused the credentials; nothing more is sent to it.',
    'Mend the destination’s access, then resume the destination.',
  ],
  CLINIC_FORBIDS: [
    'The clinic’s server does not allow what we do; nothing more is sent to it.',
    'Have the clinic allow it (role or scope), then resume the destination.',
  ],
  TOKEN_REFUSED: [
    'The authorization server gave no token, or one that allows less than was asked; nothing more is sent.',
    'Check client id, key registration, scopes and the clock of this machine, then resume the destination.',
  ],
  TOKEN_HOST_NOT_LISTED: [
    'The place where tokens are issued is not asked: its host is not listed, or it would be asked in plain http.',
    'Add the host to the destination’s tokenHosts if it is the right one, or have the clinic name an https address; then resume the destination.',
  ],
  NO_SIGNING_KEY: [
    'There is no key of ours that signs for this clinic yet, or a file of our keys cannot be used.',
    'See keys list: make the key with keys make, wait until it signs, or mend the file that is named there. The entry is tried again by itself.',
  ],
  CLINIC_NOT_TRUSTED: [
    'The clinic’s server could not prove who it is, or did not take our certificate.',
    'Check the certificate authorities and our certificate, and start again where a file of them was changed: they are read at start. The entry is tried again.',
  ],
  CLINIC_ANSWER_UNREADABLE: [
    'The answer cannot be understood: it is no FHIR or, of an HL7 v2 receiver, no acknowledgement of the message.',
    'Check the destination’s address and what stands before it.',
  ],
  CLINIC_TOO_LARGE: [
    'A single resource is larger than the clinic’s server takes.',
    'Have the clinic raise its limit, then retry.',
  ],
  CLINIC_DELETED: [
    'The clinic deleted what was to be brought up to date.',
    'Ask the clinic why, then retry or confirm.',
  ],
  CLINIC_HOLDS_ANOTHER: [
    'Where the clinic’s server said that it keeps what is to be brought up to date, something else stands by now; it was left as it is.',
    'See whether the server was replaced or set back: if so, resume the destination, saying that it is another server, and retry. If it is ours and was changed there, have the clinic bring its record up to date by hand, then confirm.',
  ],
  CLINIC_NOT_SHOWN: [
    'The clinic’s server is known to hold what was sent, and does not show it: its index may lag behind.',
    'None needed: it is looked for again, for some hours, and then given up. See then whether the clinic removed it, or our identifier from it, and retry or confirm.',
  ],
  CLINIC_NOT_OFFERED: [
    'The clinic’s server does not offer this way of writing.',
    'None needed: it is tried again, or in the next way.',
  ],
  CLINIC_IGNORES_CONDITIONS: [
    'The clinic’s server passes over conditions, and so made a resource a second time, or took another one for it.',
    'Have the clinic remove the double, where the audit trail names one; the next way is used, or the rung that was named has to be changed.',
  ],
  CLINIC_MISPLACES_PATIENT: [
    'The clinic’s server does not hold to the identifier that a conditional reference to a patient asks for: it leads to another record, or to none.',
    'Patients are searched for first from now on, and what was sent is put into their record. Where the audit trail names a resource, have the clinic see in whose record it stood, and take its earlier version out of there. Once the server was mended, resume the destination.',
  ],
  CLINIC_NO_WAY: [
    'The clinic’s server offers no way of writing that could be used.',
    'Check the base URL, have the server mended, or name a rung for the destination; then retry.',
  ],
  CLINIC_SEARCH_UNRELIABLE: [
    'The clinic’s server answers a search with what was not asked for, or does not answer searches.',
    'Have the server mended, or look by hand: confirm what is there, retry what is not.',
  ],
  CLINIC_CANNOT_UPDATE: [
    'The clinic’s server does not let us bring up to date what it holds.',
    'Have the clinic let us update, then retry; or have it change its record by hand, then confirm; or, where nothing is taken back, set cannotUpdate of the destination to send-as-new, and retry.',
  ],
  OUTCOME_UNKNOWN: [
    'The clinic’s server may have kept the entry, and cannot be asked.',
    'Look in the clinic’s record: confirm the delivery when it is there, retry it when it is not.',
  ],
  DESTINATION_MOVED: [
    'The destination’s address is another than the one it was served at; nothing is sent until it is known whether that is another server.',
    'Resume the destination, saying whether it is the same server or another one.',
  ],
  STORE_COPIED: [
    'The gateway goes on from a copy of its store, and this clinic’s server cannot be asked what was sent to it after the copy was made.',
    'Have sources send again first, then resume the destination: what is queued by then is left to you, to confirm or to retry.',
  ],
  RECEIVER_REJECTS: [
    'The clinic’s receiver takes no such messages from us; nothing more is sent to it.',
    'Check sender, receiver, version and processing id, then resume the destination.',
  ],
  PATIENT_NOT_MATCHED: [
    'The clinic’s server found no patient, or several, for the identifier, or its search for patients cannot be used.',
    'Check the base URL and the server’s search; else correct the enrolment or the clinic’s record; then retry.',
  ],
  PATIENT_UNKNOWN: [
    'The clinic’s server holds no patient with the identifier.',
    'Correct the enrolment, which sends it again, or have the clinic register the patient, then retry.',
  ],
  PATIENT_AMBIGUOUS: [
    'The clinic’s server holds several patients with the identifier.',
    'Have the clinic settle which one it is, or correct the enrolment; then retry.',
  ],
  PATIENT_REPLACED: [
    'The clinic merged the patient’s record into another one.',
    'Enrol the subject under the identifier that stands now.',
  ],
  ENROLMENT_GONE: ['The subject of a queued entry is no longer enrolled.', 'Enrol the subject, then retry.'],
} as const satisfies Record<string, readonly [meaning: string, remedy: string]>
