/** Figures of Arabic and of Persian, and wide ones, as phones in some languages type them. */
export const western = (text: string): string => text.replace(/[٠-٩۰-۹０-９]/g, (c) => String(c.charCodeAt(0) & 15));
