export { Button, type ButtonProps } from './Button.tsx';
export { ChoiceRow, type ChoiceRowProps } from './ChoiceRow.tsx';
export { Disclosure, type DisclosureProps } from './Disclosure.tsx';
export { Icon, type IconName } from './Icon.tsx';
export { IconButton, type IconButtonProps } from './IconButton.tsx';
export { QuantityField, type QuantityFieldProps, type TypedQuantity } from './QuantityField.tsx';
export { type Option, SelectField, type SelectFieldProps } from './SelectField.tsx';
export { SwitchField, type SwitchFieldProps } from './SwitchField.tsx';
export { TextLine, type TextLineProps } from './TextLine.tsx';
