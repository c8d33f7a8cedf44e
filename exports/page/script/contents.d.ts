// What an element can be filled with: nodes and text, in lists of any depth; what is empty is left out.

type Content = Node | string | null | undefined | false;
type Contents = Content | Contents[];

/** A screen: the title of the document, what is in it, and where the focus goes (its h1 without `focus`). */
interface View {
  title: string;
  contents: Contents;
  focus?: () => void;
}
