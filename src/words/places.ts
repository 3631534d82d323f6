/** 'Machine M1', but no 'Machine Machine 1'. */
export const machineText = (id: string): string => (/^machine/i.test(id) ? id : `Machine ${id}`);

/** 'Water source Loop 1', but no 'Water source Water 1'. */
export const waterText = (id: string): string => (/^water/i.test(id) ? id : `Water source ${id}`);
