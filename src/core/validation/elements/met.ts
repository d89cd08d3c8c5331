import type { InnerResource, MetExtension, MetReference } from '../layer.ts'

/** What a walk met on its way that others are to judge. */
export class Met {
  /** Resources that stand by themselves. */
  readonly inner: InnerResource[] = []
  /** Extensions, those in contained resources too. */
  readonly extensions: MetExtension[] = []
  /** References with a text, those in contained resources too. */
  readonly references: MetReference[] = []

  /** How many extensions and references there are. */
  get toBeJudged(): number {
    return this.extensions.length + this.references.length
  }
}
