/** A version of a resource as R4 tells it in HTTP. Source: FHIR R4 http.html, create and versions. */
export interface ResourceVersion {
  /** `Type/id/_history/version`, under the base URL. */
  readonly place: string
  readonly etag: string
  /** RFC 3339 text. */
  readonly lastModified?: string
}

/** Which version a resource is by what it says itself; undefined for what is not held under an id and a version. */
export function resourceVersion(resource: object | undefined): ResourceVersion | undefined {
  if (resource === undefined || !('resourceType' in resource) || !('id' in resource)) return undefined
  if (!('meta' in resource) || typeof resource.meta !== 'object' || resource.meta === null) return undefined
  const { resourceType, id, meta } = resource
  if (!('versionId' in meta) || typeof meta.versionId !== 'string') return undefined
  return {
    place: `${resourceType}/${id}/_history/${meta.versionId}`,
    etag: `W/"${meta.versionId}"`,
    ...('lastUpdated' in meta && typeof meta.lastUpdated === 'string'
      ? { lastModified: meta.lastUpdated }
      : {}),
  }
}
