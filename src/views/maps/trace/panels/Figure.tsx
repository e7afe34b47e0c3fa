/** A row of the quality card. */
export function Figure({ name, note, value }: { name: string; note: string; value: string }) {
  return (
    <tr>
      <th scope="row">
        {name}
        {note !== '' && <small>{note}</small>}
      </th>
      <td>{value}</td>
    </tr>
  );
}
