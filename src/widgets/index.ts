export { Button, type ButtonProps, cx, Icon, IconButton, type IconButtonProps, type IconName } from './Button.tsx';
export { CellGrid, type CellGridHandle, type CellGridProps } from './CellGrid.tsx';
export { formatClipboardTable, parseClipboardTable } from './clipboardTable.ts';
export { ConfirmDialog, type ConfirmDialogProps, Dialog, type DialogProps } from './Dialog.tsx';
export { Disclosure, type DisclosureProps } from './Disclosure.tsx';
export {
  ChoiceRow,
  type ChoiceRowProps,
  type Option,
  SelectField,
  type SelectFieldProps,
  SwitchField,
  type SwitchFieldProps,
  TextLine,
  type TextLineProps,
} from './fields.tsx';
export { fetchLateParts, latePart } from './latePart.tsx';
export { MenuButton, type MenuButtonProps, type MenuEntry, type MenuGroup } from './MenuButton.tsx';
export { QuantityField, type QuantityFieldProps } from './QuantityField.tsx';
export { type TabItem, Tabs, type TabsProps } from './Tabs.tsx';
export { createToaster, type Toast, type Toaster, type ToastInput, ToastRegion } from './Toasts.tsx';
export type { CellColumn, CellGridEvents, CellMark } from './useCellGrid.ts';
export type { TypedQuantity } from './useQuantityField.ts';
