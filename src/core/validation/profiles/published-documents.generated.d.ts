/** The definitions that ship: resource type, canonical URL, and the document as JSON. */
export const PUBLISHED_DOCUMENTS: readonly (readonly [resourceType: string, url: string, json: string])[]
