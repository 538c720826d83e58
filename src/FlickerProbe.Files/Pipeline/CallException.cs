namespace FlickerProbe.Files.Pipeline;

/// <summary>What was asked can't be done as asked: a setting that contradicts the clip or another setting, or a file of settings that can't be used.
/// The message is one plain sentence. (A clip that can't be read is an <see cref="Units.InputException"/>.)</summary>
public sealed class CallException : Exception
{
    /// <summary>Creates the refusal with its sentence.</summary>
    public CallException(string message) : base(message) { }

    /// <summary>Creates the refusal with its sentence and the cause.</summary>
    public CallException(string message, Exception cause) : base(message, cause) { }

    /// <summary>Does what reads a setting; a problem with it is a problem with the call.</summary>
    public static T Reading<T>(Func<T> read)
    {
        try
        {
            return read();
        }
        catch (Units.InputException refusal)
        {
            throw new CallException(refusal.Message, refusal);
        }
    }
}
