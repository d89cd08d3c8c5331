import { LOINC, SNOMED_CT } from './code-systems.ts'
import { CODE_SYSTEMS } from './published-codes.generated.js'

/**
 * Whether a display is a name of the code, regardless of case and spacing; undefined when the names of the code are
 * not known here.
 */
export function isNameOf(display: string, system: string, code: string): boolean | undefined {
  const names = namesOf(system)?.get(code)
  if (names === undefined || display.length > LONGEST) return undefined
  return names.has(display) || names.has(plain(display))
}

/** Characters. No name here has as many. */
const LONGEST = 300

function plain(name: string): string {
  return name.trim().toLowerCase().replace(/\s+/g, ' ')
}

/**
 * Long common names first, then short and full names and what HL7’s own examples write.
 * Source: LOINC (loinc.org, see its licence), FHIR R4 4.0.1 observation-vitalsigns.html and its examples. The short and
 * full names are from memory.
 */
const LOINC_NAMES: Readonly<Record<string, readonly string[]>> = {
  '85353-1': [
    'Vital signs, weight, height, head circumference, oxygen saturation and BMI panel',
    'Vital signs panel',
    'Vital Signs',
  ],
  '85354-9': [
    'Blood pressure panel with all children optional',
    'Blood pressure panel',
    'Blood pressure systolic and diastolic',
    'Blood pressure systolic & diastolic',
    'Blood pressure',
    'BP',
  ],
  '55284-4': ['Blood pressure systolic and diastolic', 'Blood pressure systolic & diastolic'],
  '8480-6': [
    'Systolic blood pressure',
    'BP sys',
    'Intravascular systolic:Pres:Pt:Arterial system:Qn',
    'Systolic',
  ],
  '8462-4': [
    'Diastolic blood pressure',
    'BP dias',
    'Intravascular diastolic:Pres:Pt:Arterial system:Qn',
    'Diastolic',
  ],
  '8478-0': [
    'Mean blood pressure',
    'BP mean',
    'Mean arterial pressure',
    'Intravascular mean:Pres:Pt:Arterial system:Qn',
  ],
  '8867-4': ['Heart rate', 'Pulse rate'],
  '9279-1': ['Respiratory rate', 'Resp rate'],
  '2708-6': [
    'Oxygen saturation in Arterial blood',
    'Oxygen saturation',
    'SaO2 % BldA',
    'Oxygen saturation in Blood',
  ],
  '8310-5': ['Body temperature', 'Body temp'],
  '8302-2': ['Body height'],
  '9843-4': ['Head Occipital-frontal circumference', 'Head circumference'],
  '29463-7': ['Body weight', 'Weight'],
  '39156-5': ['Body mass index (BMI) [Ratio]', 'Body mass index', 'BMI'],
  '96607-7': ['Blood pressure panel mean systolic and mean diastolic'],
  '96608-5': ['Systolic blood pressure mean', 'Systolic blood pressure--mean', 'BP sys mean'],
  '96609-3': ['Diastolic blood pressure mean', 'Diastolic blood pressure--mean', 'BP dias mean'],
  '97844-5': ['Blood pressure panel 24 hour mean'],
  '8490-5': ['Systolic blood pressure 24 hour mean'],
  '8472-3': ['Diastolic blood pressure 24 hour mean'],
  '8361-8': ['Body position with respect to gravity', 'Body position'],
  '8357-6': ['Blood pressure method'],
  '41904-4': ['Blood pressure measurement site'],
  '8358-4': ['Blood pressure device cuff size'],
  '41901-0': ['Type of blood pressure device'],
  'LA11868-9': ['Sitting'],
  'LA11869-7': ['Lying'],
  'LA11870-5': ['Standing'],
}

/**
 * Preferred terms, and the words of the examples that use them; a semantic tag may follow: `(finding)`.
 * Source: SNOMED CT concepts as listed in HL7/cimi-vital-signs (bodyPositionVS, MeasSettingVS), HL7/fhir (the blood
 * pressure example) and US Core (number of occurrences).
 */
const SNOMED_NAMES: Readonly<Record<string, readonly string[]>> = {
  '33586001': ['Sitting position', 'Sitting', 'Sitting position (finding)'],
  '10904000': [
    'Orthostatic body position',
    'Standing',
    'Standing position',
    'Orthostatic body position (finding)',
  ],
  '40199007': ['Supine body position', 'Supine', 'Supine body position (finding)'],
  '102538003': ['Recumbent body position', 'Lying', 'Recumbent body position (finding)'],
  '368209003': [
    'Right upper arm structure',
    'Right upper arm',
    'Right arm',
    'Right upper arm structure (body structure)',
  ],
  '264362003': ['Home', 'Home (environment)'],
  '257585005': ['Clinic', 'Clinic (environment)'],
  '246432004': ['Number of occurrences', 'Number of occurrences (attribute)'],
  '271649006': ['Systolic blood pressure', 'Systolic blood pressure (observable entity)'],
  '271650006': ['Diastolic blood pressure', 'Diastolic blood pressure (observable entity)'],
}

type Names = ReadonlyMap<string, ReadonlySet<string>>

const NAMED: Readonly<Record<string, Readonly<Record<string, string | readonly string[]>>>> = {
  ...CODE_SYSTEMS,
  [LOINC]: LOINC_NAMES,
  [SNOMED_CT]: SNOMED_NAMES,
}

/** By code system, made when it is first asked for; by code: every name, as it is written and plain. */
const made = new Map<string, Names>()

function namesOf(system: string): Names | undefined {
  const known = made.get(system)
  if (known !== undefined || !Object.hasOwn(NAMED, system)) return known
  const names = new Map(
    Object.entries(NAMED[system] ?? {})
      .filter(([, written]) => written !== '')
      .map(([code, written]) => [code, new Set([written].flat().flatMap((name) => [name, plain(name)]))]),
  )
  made.set(system, names)
  return names
}
