export { CardDialog } from './CardDialog.tsx';
