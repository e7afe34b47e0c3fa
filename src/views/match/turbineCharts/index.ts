export { type SectionSide, TurbineSection } from './TurbineSection.tsx';
