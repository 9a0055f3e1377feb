/** Figures of Arabic and of Persian, as phones in these languages type them. */
export const western = (text: string): string => text.replace(/[٠-٩۰-۹]/g, (c) => String(c.charCodeAt(0) & 15));
