import type { CodeableConcept, Coding, Quantity } from 'fhir/r4.js'
import { codedElement, ownElement } from './coded-element.ts'
import { hl7Time } from './hl7-time.ts'
import { numberText } from './number-text.ts'
import type { Field } from './segment.ts'

/** A value as OBX carries it. */
export interface ObservedValue {
  /** OBX-2. Empty where there is no value: it is needed unless OBX-11 is X. Source: HL7 v2.5.1 section 7.4.2.2. */
  readonly type: string
  /** OBX-5. */
  readonly value: Field
  /** OBX-6. */
  readonly units?: Field
  /** What is to be said beside it. */
  readonly remark?: string
}

/** An element with `value[x]`: an Observation, a component, an extension. */
export interface Valued {
  readonly valueQuantity?: Quantity | undefined
  readonly valueCodeableConcept?: CodeableConcept | undefined
  readonly valueCoding?: Coding | undefined
  readonly valueCode?: string | undefined
  readonly valueBoolean?: boolean | undefined
  readonly valueInteger?: number | undefined
  readonly valueString?: string | undefined
  readonly valueDate?: string | undefined
  readonly dataAbsentReason?: CodeableConcept | undefined
}

/** Which of the two coded types OBX-2 names: CE until 2.5.1, CWE from 2.6 (from memory: HL7 table 0125 of each). */
export type CodedType = 'CE' | 'CWE'

/** Undefined where the element has neither a value nor a reason why there is none. A number is written as JSON has it. */
export function observedValue(element: Valued, coded: CodedType): ObservedValue | undefined {
  const { valueQuantity, valueCodeableConcept, valueCoding, valueCode, valueBoolean, valueInteger } = element
  const { valueString, valueDate, dataAbsentReason } = element
  if (valueQuantity?.value !== undefined) return measured(valueQuantity, valueQuantity.value)
  if (valueCodeableConcept !== undefined) return { type: coded, value: codedElement(valueCodeableConcept) }
  if (valueCoding !== undefined) return { type: coded, value: codedElement({ coding: [valueCoding] }) }
  if (valueCode !== undefined) return { type: coded, value: ownElement(valueCode, valueCode) }
  if (valueBoolean !== undefined) return { type: coded, value: valueBoolean ? YES : NO }
  if (valueInteger !== undefined) return { type: 'NM', value: numberText(valueInteger) }
  if (valueString !== undefined) return { type: 'ST', value: valueString }
  if (valueDate !== undefined) return { type: 'DT', value: hl7Time(valueDate) }
  if (dataAbsentReason === undefined) return undefined
  return { type: '', value: '', remark: `No value: ${nameOf(dataAbsentReason)}.` }
}

/** HL7 table 0136. */
const YES: Field = ['Y', 'Yes', 'HL70136']
const NO: Field = ['N', 'No', 'HL70136']

function measured(quantity: Quantity, value: number): ObservedValue {
  const { comparator, code, unit } = quantity
  const remark = asMeasured(quantity)
  return {
    ...(comparator === undefined
      ? { type: 'NM', value: numberText(value) }
      : { type: 'SN', value: [comparator, numberText(value)] }),
    ...(code === undefined ? { units: ['', unit ?? ''] } : { units: [code, code, 'UCUM'] }),
    ...(remark === undefined ? {} : { remark }),
  }
}

/** What was measured in another unit, by our extension `measured-quantity`. */
function asMeasured({ extension = [] }: Quantity): string | undefined {
  const source = extension.find(({ url }) => url.endsWith('/StructureDefinition/measured-quantity'))
  const { value, unit } = source?.valueQuantity ?? {}
  return value === undefined ? undefined : `Measured as ${numberText(value)} ${unit ?? ''}.`
}

function nameOf({ coding, text }: CodeableConcept): string {
  return text ?? coding?.[0]?.display ?? coding?.[0]?.code ?? 'not said'
}
