/** A table of what was worked out; a wide one is panned by the keyboard. */

export function Rows({ heads, rows }: { heads: string[]; rows: (string | number)[][] }) {
  if (rows.length === 0) return null;
  return (
    <div class="wide" role="region" aria-label={heads.join(", ")} tabIndex={0}>
      <table>
        <thead>
          <tr>
            {heads.map((head) => (
              <th scope="col" key={head}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, index) => (
            <tr key={index}>
              {row.map((cell, column) => (
                <td key={column}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
