/** A text as it is read: blanks of any kind are blanks. */
export const plain = (text: string) => text.replace(/[\u00a0\u202f]/g, ' ');

/** Numbers with a metric unit, each with the words around it. 'bar' alone is also a word. */
export const metric = (text: string) =>
  [
    ...plain(text).matchAll(
      /[^\n]{0,60}\d ?(?:kPa|hPa|mbar|bar|Pa|kg\/s|g\/s|kg\/h|K|°C|degrees Celsius|m|mm|cm2|mm²|cm³|L|kW|PS|Nm|N m|L\/h|cc\/min|g\/kWh|kg\/m³|m\/s|kJ)(?![\w²³/])[^\n]{0,20}/g,
    ),
  ].map(([found]) => found);
