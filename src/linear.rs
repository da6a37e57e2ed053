//! Systems of linear equations.

/// Returns the solution of a system of linear equations, by elimination with row exchange; unknowns
/// that nothing depends on are 0.
pub(crate) fn solve(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Vec<f64> {
    let size = right.len();
    for column in 0..size {
        let largest = (column..size)
            .max_by(|a, b| {
                matrix[*a][column]
                    .abs()
                    .total_cmp(&matrix[*b][column].abs())
            })
            .unwrap_or(column);
        matrix.swap(column, largest);
        right.swap(column, largest);
        let pivot = matrix[column].clone();
        if pivot[column] == 0.0 {
            continue;
        }
        for row in column + 1..size {
            let share = matrix[row][column] / pivot[column];
            for (value, above) in matrix[row].iter_mut().zip(&pivot).skip(column) {
                *value -= share * above;
            }
            right[row] -= share * right[column];
        }
    }
    let mut solution = vec![0.0; size];
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size).map(|c| matrix[row][c] * solution[c]).sum();
        if matrix[row][row] != 0.0 {
            solution[row] = (right[row] - known) / matrix[row][row];
        }
    }
    solution
}
