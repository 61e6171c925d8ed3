// What the desk uses of the library that stands in extract/served/static/vendor: its own script is not checked.

interface Options {
  morphStyle?: "innerHTML" | "outerHTML";
  ignoreActive?: boolean;
  ignoreActiveValue?: boolean;
  restoreFocus?: boolean;
  callbacks?: {
    beforeNodeAdded?: (node: Node) => boolean;
    afterNodeAdded?: (node: Node) => void;
    beforeNodeMorphed?: (old: Node, to: Node) => boolean;
    afterNodeMorphed?: (old: Node, to: Node) => void;
    beforeNodeRemoved?: (node: Node) => boolean;
    afterNodeRemoved?: (node: Node) => void;
    beforeAttributeUpdated?: (name: string, node: Element, kind: "update" | "remove") => boolean;
  };
}

export const Idiomorph: {
  morph(old: Element | Document, to: string | Node | NodeList | null, options?: Options): Node[];
};
