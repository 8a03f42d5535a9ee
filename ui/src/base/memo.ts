import { Component, type ComponentChildren, type ComponentType, h } from "preact";

/** A view that is made anew only when one of its properties is another. */
export function memo<P extends object>(View: (p: P) => ComponentChildren): ComponentType<P> {
  return class extends Component<P> {
    override shouldComponentUpdate(next: Readonly<P>): boolean {
      const a = this.props as { readonly [k: string]: unknown };
      const b = next as { readonly [k: string]: unknown };
      for (const k in b) if (a[k] !== b[k]) return true;
      return false;
    }

    override render(): ComponentChildren {
      return h(View as ComponentType<P>, this.props as P);
    }
  };
}
