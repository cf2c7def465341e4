/** The style sheet of the element, put in by the builder of the site. */
export const styleText: string;
