/** A transaction of blood-pressure Observations for one patient, each created only if its identifier is new. */
export function observationBundle(patient: string, identifiers: readonly string[], change: object = {}) {
  return {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: identifiers.map((identifier, index) => ({
      fullUrl: `urn:uuid:00000000-0000-5000-8000-${String(index).padStart(12, '0')}`,
      resource: { ...observation(patient, identifier), ...change },
      request: {
        method: 'POST',
        url: 'Observation',
        ifNoneExist: `identifier=${encodeURIComponent(`urn:example:readings|${identifier}`)}`,
      },
    })),
  }
}

function observation(patient: string, identifier: string) {
  const pressure = (code: string, value: number) => ({
    code: { coding: [{ system: 'http://loinc.org', code }] },
    valueQuantity: { value, unit: 'mmHg', system: 'http://unitsofmeasure.org', code: 'mm[Hg]' },
  })
  return {
    resourceType: 'Observation',
    identifier: [{ system: 'urn:example:readings', value: identifier }],
    status: 'final',
    category: [
      {
        coding: [
          { system: 'http://terminology.hl7.org/CodeSystem/observation-category', code: 'vital-signs' },
        ],
      },
    ],
    code: { coding: [{ system: 'http://loinc.org', code: '85354-9' }] },
    subject: { reference: `Patient?identifier=${encodeURIComponent(`urn:example:patients|${patient}`)}` },
    effectiveDateTime: '2026-03-02T06:41:00-07:00',
    component: [pressure('8480-6', 134), pressure('8462-4', 85)],
  }
}

/** A patient of the clinic whose name nobody has. */
export function registeredPatient(value: string) {
  return { identifier: { system: 'urn:example:patients', value }, name: { given: 'Test', family: 'Person' } }
}
