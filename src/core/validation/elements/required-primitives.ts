/**
 * Elements that R4 demands (minimum 1) and its JSON schema cannot: primitives, because the value may be left out when
 * an extension stands for it, and choices, because each variant is a property of its own.
 *
 * Source: FHIR R4 4.0.1, the cardinalities of each type's StructureDefinition.
 */
export const REQUIRED_PRIMITIVES: Readonly<Record<string, readonly string[]>> = {
  Observation: ['status'],
  Bundle: ['type'],
  Bundle_Link: ['relation', 'url'],
  Bundle_Request: ['method', 'url'],
  Bundle_Response: ['status'],
  Patient_Link: ['type'],
  Device_DeviceName: ['name', 'type'],
  Device_Version: ['value'],
  Provenance: ['recorded'],
  Provenance_Entity: ['role'],
  OperationOutcome_Issue: ['severity', 'code'],
  AuditEvent: ['recorded'],
  AuditEvent_Agent: ['requestor'],
  AuditEvent_Detail: ['type', 'value'],
  Annotation: ['text'],
  Contributor: ['type', 'name'],
  DataRequirement: ['type'],
  DataRequirement_Sort: ['path', 'direction'],
  Expression: ['language'],
  Extension: ['url'],
  Narrative: ['status'],
  ParameterDefinition: ['use', 'type'],
  RelatedArtifact: ['type'],
  SampledData: ['period', 'dimensions'],
  Signature: ['when'],
  TriggerDefinition: ['type'],
  UsageContext: ['value'],
}
